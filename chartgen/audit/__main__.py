"""`python -m chartgen.audit CHART.svg …`: the table of finished charts against their aims."""

from __future__ import annotations

import json
from pathlib import Path

import click

from chartgen.audit.ink import NotAChart
from chartgen.audit.report import audit, legend, table


@click.command(help="Measure finished charts (SVG) from their ink, each number beside its aim.")
@click.argument("charts", nargs=-1, required=True, type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON object for each chart, a line each.")
@click.option("--report", type=click.Path(exists=True, dir_okay=False, path_type=Path), help="The check report; looked for beside each chart unless given.")
@click.option("--worst", default=3, show_default=True, help="Offenders named for each number that falls short.")
@click.option("--parts/--no-parts", default=True, show_default=True, help="A line for each part.")
@click.option("--legend", "explain", is_flag=True, help="Say what each column means.")
@click.option("--strict", is_flag=True, help="Exit 1 if any chart falls short.")
def main(
    charts: tuple[Path, ...], as_json: bool, report: Path | None, worst: int, parts: bool, explain: bool, strict: bool
) -> None:
    """Print the audit of every chart named."""
    said = json.loads(report.read_text("utf-8")) if report else None
    try:
        audits = [audit(path, said) for path in charts]
    except NotAChart as fault:
        raise click.ClickException(str(fault)) from None
    if as_json:
        for each in audits:
            click.echo(json.dumps(each.as_json(worst)))
    else:
        click.echo(table(audits, parts, worst), nl=False)
        if explain:
            click.echo("\n" + legend(audits[0].measures))
    if strict and any(each.short for each in audits):
        raise SystemExit(1)


if __name__ == "__main__":
    main()
