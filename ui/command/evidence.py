"""The guide to kinds of evidence: what each says, and how it misleads."""

import click

from .asking import DONE, leave


@click.command()
@click.argument("words", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="Answer as JSON.")
def evidence(words: tuple[str, ...], as_json: bool) -> None:
    """The kinds of evidence: usual strength, what else explains it, pitfalls.

    WORDS chooses those that speak of all the words: 'vestige evidence lies over'.
    """
    from vestige.graph.answer.evidence import guide_of

    answer = guide_of(" ".join(words))
    if as_json:
        click.echo(answer.model_dump_json(indent=2))
        leave(DONE)
    for kind in answer.kinds:
        said = ", ".join((*kind.relations, *kind.sources))
        click.echo(f"{kind.name}  ({said})" if said else kind.name)
        click.echo(f"  usual strength  {kind.usual}")
        click.echo(f"  write down      {kind.asks}")
        for head, lines in (("what else", kind.rivals), ("pitfalls", kind.pitfalls)):
            for nth, line in enumerate(lines):
                click.echo(f"  {head if nth == 0 else '':<14}  {line}")
        click.echo(f"  basis           {kind.basis}\n")
    if not answer.kinds:
        click.echo("no kind of evidence speaks of that; leave the words out for all")


EVIDENCE = (evidence,)
