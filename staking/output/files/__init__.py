"""Files onto the disk: sets of them, single ones, and the record of what is ours."""

from typing import TYPE_CHECKING

from staking.output.files.file_set import Binary as Binary
from staking.output.files.file_set import FilesWritten as FilesWritten
from staking.output.files.file_set import write_file as write_file
from staking.output.files.file_set import write_set as write_set
from staking.output.files.own_files import Source as Source

if TYPE_CHECKING:
    from staking.output.files.file_set import Writer as Writer
