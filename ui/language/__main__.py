"""``python -m vestige.ui.language``: make the template, update and check catalogues."""

from pathlib import Path

import click

from .catalogue import HERE
from .template import TEMPLATE, checked, template_text, updated


@click.group()
def main() -> None:
    """Translations of the pages: the template, and what lies beside it."""


@main.command()
def template() -> None:
    """Write the template from the modules of words."""
    TEMPLATE.write_text(template_text(), "utf-8", newline="\n")
    click.echo(f"{TEMPLATE.name} is written")


@main.command()
@click.argument("language")
@click.option("--file", type=click.Path(path_type=Path), help="A museum's own PO file.")
def update(language: str, file: Path | None) -> None:
    """Bring the catalogue of LANGUAGE (as de or pt_BR) up to the words; or begin it."""
    target = file or HERE / f"{language}.po"
    target.write_text(updated(language, target), "utf-8", newline="\n")
    click.echo(f"{target.name} is written")


@main.command()
@click.option("--archive", type=click.Path(path_type=Path), help="Its catalogues too.")
def check(archive: Path | None) -> None:
    """Say what is wrong or lacks; ends with 4 where something does."""
    found = checked(archive)
    for line in found:
        click.echo(line)
    if found:
        raise SystemExit(4)
    click.echo("nothing is wrong")


if __name__ == "__main__":
    main()
