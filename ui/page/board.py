"""One component that shows our SVG drawings: real text, arrow keys, a click that answers.

The drawing is parsed as XML in the browser, scripts and foreign objects taken out; it
stands in its own shadow tree. One Tab stop, arrows inside, Enter opens.
"""

import hashlib
from typing import TYPE_CHECKING, Any

import streamlit as st

from . import words
from .png import png_of
from .shown import file_name, table

if TYPE_CHECKING:
    from ..drawing import Drawing

_HTML = '<div class="board" role="group"></div>'
_CSS = """
.board{overflow:auto;background:#fff;border:1px solid #6b665e;padding:6px}
.board:focus-visible{outline:3px solid #072871}
svg{display:block}
.part.may{cursor:pointer}
.part:focus{outline:3px solid #072871;outline-offset:1px}
.part:focus:not(:focus-visible){outline:none}
"""
_JS = """
export default function ({ data, parentElement, setTriggerValue }) {
  const root = parentElement.querySelector('.board');
  if (root.dataset.key !== data.key) {
    const doc = new DOMParser().parseFromString(data.svg, 'image/svg+xml');
    doc.querySelectorAll('script,foreignObject').forEach(e => e.remove());
    const svg = document.importNode(doc.documentElement, true);
    svg.style.maxWidth = data.actual ? 'none' : '100%';
    svg.style.height = 'auto';
    root.replaceChildren(svg);
    root.dataset.key = data.key;
    root.setAttribute('aria-label', data.name);
    if (data.opens) root.querySelectorAll('.part').forEach(p => {
      p.classList.add('may'); p.setAttribute('role', 'button');
    });
  }
  const parts = [...root.querySelectorAll('.part')];
  const stop = i => parts.forEach((p, j) =>
    p.setAttribute('tabindex', j === i ? '0' : '-1'));
  if (parts.length && parts.filter(p => p.getAttribute('tabindex') === '0').length !== 1)
    stop(0);
  const pick = p => { if (data.opens) setTriggerValue('picked', p.dataset.key); };
  root.onclick = e => { const p = e.target.closest('.part'); if (p) pick(p); };
  root.onfocusin = e => {
    const p = e.target.closest('.part'); if (p) stop(parts.indexOf(p));
  };
  root.onkeydown = e => {
    const p = e.target.closest('.part'); if (!p) return;
    const steps = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1,
      Home: -1e9, End: 1e9 };
    const step = steps[e.key];
    if (step) {
      e.preventDefault();
      const i = Math.max(0, Math.min(parts.length - 1, parts.indexOf(p) + step));
      stop(i); parts[i].focus();
      parts[i].scrollIntoView({ block: 'nearest', inline: 'nearest' });
    } else if (e.key === 'Enter' || e.key === ' ') { e.preventDefault(); pick(p); }
  };
  return () => { root.onclick = root.onkeydown = root.onfocusin = null; };
}
"""


@st.cache_resource(show_spinner=False)
def _component() -> Any:
    return st.components.v2.component("vestige_board", html=_HTML, css=_CSS, js=_JS)


def board(drawing: "Drawing", name: str, *, opens: bool = False) -> str | None:
    """Show a drawing, its table and its download; the key of the part that was chosen.

    Args:
        drawing: what to show.
        name: for the file and for the widget.
        opens: whether a part can be chosen.
    """
    digest = hashlib.blake2b(drawing.svg.encode(), digest_size=8).hexdigest()
    data = {
        "svg": drawing.svg,
        "key": digest,
        "actual": drawing.width > 1100,
        "opens": opens,
        "name": drawing.title,
    }
    result = _component()(key=f"board-{name}", data=data, on_picked_change=lambda: None)
    with st.expander(words.AS_TABLE):
        heads, rows = drawing.table
        table(heads, rows, drawing.title)
    with st.container(horizontal=True):
        st.download_button(
            words.SAVE_DRAWING,
            drawing.svg,
            file_name(drawing.title, "svg"),
            "image/svg+xml",
            key=f"svg-{name}",
            on_click="ignore",
        )
        st.download_button(
            words.SAVE_PNG,
            lambda: png_of(drawing),  # made when it is asked for
            file_name(drawing.title, "png"),
            "image/png",
            key=f"png-{name}",
            on_click="ignore",
        )
    picked = result.picked
    return str(picked) if picked else None
