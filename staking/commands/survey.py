"""``staking survey``: what a survey file holds, and the same in another format."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

import click

from staking.commands.option_values import force_option, parse_columns, parse_no_elevation
from staking.errors import InputError, Problem, ProjectError, WriteError
from staking.units import Unit

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    from staking.points import SurveyPoints, SurveySettings
    from staking.project.deed_file import DeedInFile

    Writer = Callable[[SurveyPoints, TextIO], None]

KINDS = (".csv", ".xml", ".geojson", ".gpx", ".dxf")
_UNITS = click.Choice([unit.value for unit in Unit])
_HEIGHTS = click.Choice([unit.value for unit in (Unit.FT, Unit.US_FT, Unit.M)])


def _parse_target(
    context: click.Context, parameter: click.Parameter, value: Path | None
) -> Path | None:
    if value is not None and value.suffix.lower() not in KINDS:
        raise click.BadParameter(
            f"{value.name!r} ends in none of {', '.join(KINDS)}", context, parameter
        )
    return value


@click.command("survey", short_help="What a survey file holds; write it in another format.")
@click.argument(
    "files", metavar="FILE...", nargs=-1, required=True, type=click.Path(path_type=Path)
)
@click.option("--unit", type=_UNITS, help="Unit of the file's numbers.")
@click.option(
    "--columns",
    callback=parse_columns,
    help="Its columns, as in point,northing,easting,elevation,description; - for one to skip.",
)
@click.option("--crs", help="The coordinate system it is in, as in EPSG:5646.")
@click.option(
    "--heights", type=_HEIGHTS, help="Unit of the heights of a point cloud or a height grid."
)
@click.option(
    "--no-elevation",
    multiple=True,
    metavar="NUMBER",
    callback=parse_no_elevation,
    help="What it writes where no elevation was measured, as in 0; none where all are real.",
)
@click.option(
    "--skip-bad-lines", is_flag=True, help="Leave out lines that cannot be read, and list them."
)
@click.option("--json", "as_json", is_flag=True, help="Print the figures as JSON and nothing else.")
@click.option(
    "--to",
    "target",
    type=click.Path(path_type=Path),
    callback=_parse_target,
    help="Write it to a file: .csv, .xml (LandXML), .geojson, .gpx or .dxf.",
)
@click.option("--to-unit", type=_UNITS, help="Show and write it in this unit.")
@click.option("--to-crs", help="Convert it to this coordinate system.")
@force_option
@click.pass_context
def command(
    context: click.Context,
    files: tuple[Path, ...],
    unit: str | None,
    columns: tuple[str, ...] | None,
    crs: str | None,
    heights: str | None,
    no_elevation: tuple[float, ...] | None,
    skip_bad_lines: bool,
    as_json: bool,
    target: Path | None,
    to_unit: str | None,
    to_crs: str | None,
    force: bool,
) -> None:
    """Say what each survey FILE holds.

    Its format, columns, unit and coordinate system and how each was found, how many points, their
    extents, names that repeat, what has no elevation, what lies far off, and a small map. The text
    of a deed is shown course by course beside its words, with how it closes and its area.
    """
    from staking.points import SurveySettings

    if target is not None and len(files) > 1:
        context.fail("--to writes one survey, and there are several files")
    settings = SurveySettings(
        unit=unit,
        columns=columns,
        crs=crs,
        skip_bad_lines=skip_bad_lines,
        no_elevation=no_elevation,
        heights=heights,
        # A look shows what is doubtful; what is written anew must not carry it on.
        is_listing=target is None,
    )
    status = 0
    documents: list[dict[str, object]] = []
    left_out = ""
    for path in files:
        try:
            deed = _deed(path, unit, target)
            if deed is not None:
                status = max(status, _tell_deed(deed, documents if as_json else None))
                continue
            points = _read(path, settings, to_unit, to_crs)
            if target is not None and target.suffix.lower() in {".geojson", ".gpx"}:
                points = _in_degrees(points)
            if target is not None:
                _write(points, target, path, force=force)
                left_out = _left_out(points, target.suffix.lower())
            if as_json:
                documents.append(_document(points))
            else:
                _tell(points, settings)
        except ProjectError as error:
            status = max(status, error.exit_status)
            _tell_fault(error)
    if as_json and not status:
        # One file gives its document, several a list of theirs.
        _print_documents(documents if len(files) > 1 else documents[0])
    if target is not None and not status:
        _echo(f"wrote {target}", err=as_json)
        if left_out:
            _echo(left_out, err=True)
    if status:
        context.exit(status)


def _read(
    path: Path, settings: SurveySettings, to_unit: str | None, to_crs: str | None
) -> SurveyPoints:
    from staking.survey.convert import in_unit, on_grid
    from staking.survey.read import read_survey

    try:
        points = read_survey(path, settings)
        if to_crs is not None:
            _refuse_scan(points)
            points = on_grid(points, to_crs)
    except InputError as error:
        if error.problems[0].path is not None:
            raise
        raise _placed(error, path) from error
    return in_unit(points, to_unit) if to_unit is not None else points


def _deed(path: Path, unit: str | None, target: Path | None) -> DeedInFile | None:
    from staking.project.deed_file import read_deed_file

    deed = read_deed_file(path, Unit(unit or "ft"))
    if deed is not None and target is not None:
        raise InputError(
            Problem(
                path=str(path),
                message="this is a deed, and --to writes surveyed points",
                remedy="leave --to out",
            )
        )
    return deed


def _tell_deed(deed: DeedInFile, documents: list[dict[str, object]] | None) -> int:
    """Show a deed, or gather its document, and give the status it ends with."""
    from staking.output.documents.deed_document import deed_file_document
    from staking.output.tables.deed_file_tables import deed_file_blocks, deed_file_notices
    from staking.output.terminal import print_blocks

    fault = deed.fault
    if documents is None:
        print_blocks(deed_file_blocks(deed), sys.stdout)
        print_blocks(deed_file_notices(deed), sys.stderr)
    elif fault is None:
        documents.append(deed_file_document(deed))
    if fault is not None:
        _tell_fault(fault)
        return fault.exit_status
    return 0


def _refuse_scan(points: SurveyPoints) -> None:
    if points.scan is not None:
        raise InputError(
            Problem(
                path=points.name,
                message=f"a {points.scan.kind.value} is not converted",
                remedy="name it in the job as it is: its part round the building is brought to the "
                "lot's system there",
            )
        )


def _in_degrees(points: SurveyPoints) -> SurveyPoints:
    from staking.survey.convert import in_degrees

    return in_degrees(points)


def _placed(error: InputError, path: Path) -> InputError:
    from dataclasses import replace

    return InputError(*(replace(each, path=str(path)) for each in error.problems))


def _write(points: SurveyPoints, target: Path, read_from: Path, *, force: bool) -> None:
    from staking.output.files import Source, write_file
    from staking.project.paper_day import paper_day

    if target.suffix.lower() == ".csv" and points.count == 0:
        raise WriteError(f"{points.name}: there are no points to write to {target.name}")
    writer = _writer(target.suffix.lower(), paper_day(read_from))
    source = Source(path=read_from, what="the survey that is read")
    try:
        write_file(
            target,
            lambda stream: writer(points, stream),
            force=force,
            sources=(source,),
            remedy="give another --to",
        )
    except UnicodeEncodeError as error:
        raise WriteError(
            f"{target}: a name or description holds a character that no text can"
        ) from error


def _left_out(points: SurveyPoints, suffix: str) -> str:
    """Return what the format cannot hold of a survey, as a sentence, or nothing."""
    left = []
    if suffix == ".csv":
        left += ["lines"] if points.lines else []
        left += ["the coordinate system"] if points.crs else []
    if suffix in {".csv", ".geojson", ".gpx"}:
        left += ["surfaces"] if points.surfaces else []
    return f"left out, since a {suffix} cannot hold it: {', '.join(left)}" if left else ""


def _writer(suffix: str, day: dt.date | None) -> Writer:
    if suffix == ".csv":
        from staking.output.points.survey_csv import write_survey_csv

        return write_survey_csv
    if suffix == ".geojson":
        from staking.output.points.write_geojson import write_geojson

        return write_geojson
    if suffix == ".gpx":
        from staking.output.points.write_gpx import write_gpx

        return write_gpx
    if suffix == ".xml":
        from staking.output.points.write_landxml import write_landxml

        return lambda points, stream: write_landxml(points, stream, day)
    from staking.output.points.survey_dxf import write_survey_dxf

    return lambda points, stream: write_survey_dxf(points, stream, day)


def _document(points: SurveyPoints) -> dict[str, object]:
    from staking.output.documents.survey_document import survey_document

    return survey_document(points)


def _print_documents(documents: object) -> None:
    import json

    click.echo(json.dumps(documents, indent=2, ensure_ascii=False, allow_nan=False))


def _tell(points: SurveyPoints, settings: SurveySettings) -> None:
    from staking.output.tables.survey_map import survey_map
    from staking.output.tables.survey_tables import survey_blocks, survey_notices
    from staking.output.terminal import print_blocks
    from staking.survey.convert import counted
    from staking.survey.words.point_uses import point_uses

    print_blocks(survey_blocks(points, settings), sys.stdout)
    drawn = survey_map(counted(points), point_uses(points))
    if drawn:
        click.echo("\n".join(drawn) + "\n")
    print_blocks(survey_notices(points), sys.stderr)


def _tell_fault(error: ProjectError) -> None:
    for line in str(error).splitlines():
        _echo(line, err=True)


def _echo(text: str, *, err: bool) -> None:
    from staking.output.wording import safe

    click.echo(safe(text), err=err)
