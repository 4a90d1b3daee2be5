"""The desk's server: on the loopback address alone, until Ctrl-C or the last page is gone."""

from __future__ import annotations

import socket
import threading
import time
from typing import TYPE_CHECKING

from werkzeug.serving import BaseWSGIServer, WSGIRequestHandler, make_server

from staking.desk.desk_app import DeskApp, Maker
from staking.desk.guards import LOOPBACK, Doorkeeper, new_token
from staking.desk.open_pages import OpenPages
from staking.errors import WriteError

if TYPE_CHECKING:
    from collections.abc import Iterable
    from pathlib import Path
    from typing import Any

SILENCE_SECONDS = 10.0
"""A connection on which nothing comes for so long is closed."""
HEADER_SECONDS = 10.0
"""The time for a request's head, however slowly it drips."""
_LOOK_SECONDS = 0.5
_GARBAGE = 50_000
"""So many more values than were let go make the collector of garbage come."""


class QuietHandler(WSGIRequestHandler):
    """Answers requests without a word in the terminal, and hangs up on slow ones."""

    timeout = SILENCE_SECONDS

    def setup(self) -> None:
        """Take a connection, and set the time for its first lines."""
        super().setup()
        self._late = threading.Timer(HEADER_SECONDS, self._hang_up)
        self._late.daemon = True
        self._late.start()

    def _hang_up(self) -> None:
        try:
            self.connection.shutdown(socket.SHUT_RDWR)
        except OSError:
            return

    def run_wsgi(self) -> None:
        """Answer, now that the head is there."""
        self._late.cancel()
        super().run_wsgi()

    def finish(self) -> None:
        """Let the connection go."""
        self._late.cancel()
        super().finish()

    def log(self, type: str, message: str, *args: Any) -> None:  # noqa: A002
        """Say nothing: the terminal is for what the desk itself has to say."""


class Desk:
    """A desk that listens.

    Parameters
    ----------
    path
        The job file; it need not be there yet.
    maker
        Makes the files of a job.
    names
        The files that it may make.
    port
        Where to listen; 0 for any that is free.

    Raises
    ------
    WriteError
        Where the port is taken.
    """

    def __init__(
        self,
        path: Path,
        maker: Maker,
        names: Iterable[str],
        port: int = 0,
        pages: OpenPages | None = None,
    ) -> None:
        self._socket = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        self._socket.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            self._socket.bind((LOOPBACK, port))
            self._socket.listen()
        except OSError as error:
            self._socket.close()
            reason = (error.strerror or str(error)).lower()
            raise WriteError(
                f"the desk cannot listen on port {port}: {reason}; give another --port"
            ) from error
        self.pages = pages or OpenPages()
        self.keeper = Doorkeeper(port=int(self._socket.getsockname()[1]), token=new_token())
        self.app = DeskApp(path, self.keeper, maker, names, self.pages)
        self._server: BaseWSGIServer = make_server(
            LOOPBACK,
            self.keeper.port,
            self.app,
            threaded=True,
            request_handler=QuietHandler,
            fd=self._socket.fileno(),
        )

    @property
    def address(self) -> str:
        """What to open in a browser; the token in its fragment is sent to nobody."""
        return f"{self.keeper.origin}/#{self.keeper.token}"

    def serve(self) -> None:
        """Answer until the last page is gone, or the process is interrupted."""
        threading.Thread(target=self._end_when_over, daemon=True).start()
        threading.Thread(target=warm, daemon=True).start()
        try:
            self._server.serve_forever(poll_interval=0.1)
        finally:
            self.close()

    def stop(self) -> None:
        """End `serve`, from another thread."""
        self._server.shutdown()

    def close(self) -> None:
        """Free the port, and leave what is being worked out."""
        self.app.weighing.close()
        self._server.server_close()
        self._socket.close()

    def _end_when_over(self) -> None:
        while not self.pages.over:
            time.sleep(_LOOK_SECONDS)
        self._server.shutdown()


def warm() -> None:
    """Load what a drawing needs before anybody waits for one."""
    from pathlib import Path

    from staking.desk.drawn_answer import draw_answer, figures_answer
    from staking.job.starter import starter_text

    path = Path("job.yaml")
    _, drawn = draw_answer(starter_text(), path)
    if drawn is not None:
        figures_answer(drawn.resolved, path)
    _pass_over_what_stays()


def _pass_over_what_stays() -> None:
    """Have the collector of garbage pass over what is loaded, and come once in an answer or so.

    It looked through all that a drawing has loaded every few answers, for a tenth of a second,
    and came dozens of times while one answer was made.
    """
    import gc

    gc.collect()
    gc.freeze()
    gc.set_threshold(_GARBAGE)
