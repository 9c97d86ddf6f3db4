"""How pages look: ink on white, patterns before colours, targets for gloved hands.

The patterns of the verdicts are those of the drawings (`ui/drawing/palette.py`), set as
backgrounds; letter and words stand beside each, so that a grey print reads the same.
"""

from ..drawing.palette import INK, RED, RULE, VERDICTS

_PATTERN = {
    "in-place": "{c}",
    "moved": "repeating-linear-gradient(90deg,{c} 0 3px,#fff 3px 6px)",
    "from-start": "repeating-linear-gradient(0deg,#fff 0 1px,transparent 1px 5px),"
    "repeating-linear-gradient(90deg,#fff 0 1px,{c} 1px 7px)",
    "added": "repeating-linear-gradient(45deg,{c} 0 3px,#fff 3px 6px)",
    "brought-in": "repeating-linear-gradient(45deg,{c} 0 1.5px,transparent 1.5px 6px),"
    "repeating-linear-gradient(-45deg,{c} 0 1.5px,#fff 1.5px 6px)",
    "later": "radial-gradient({c} 42%,#fff 46%) 0 0/6px 6px",
    "open": "repeating-linear-gradient(0deg,{c} 0 1.5px,#fff 1.5px 5px)",
    "unexamined": "radial-gradient({c} 22%,#fff 26%) 0 0/7px 7px",
}

THEME = {
    "theme.base": "light",
    "theme.primaryColor": "#072871",
    "theme.backgroundColor": "#ffffff",
    "theme.secondaryBackgroundColor": "#f4f2ed",
    "theme.textColor": INK,
    "theme.linkColor": "#072871",
    "theme.font": "'Noto Sans', 'Segoe UI', system-ui, sans-serif",
    "theme.headingFont": "'Noto Serif', Georgia, 'Liberation Serif', serif",
    "theme.baseFontSize": 17,
    "theme.baseRadius": "4px",
    "theme.showWidgetBorder": True,
}
"""Options of the server that set colours, fonts and sizes."""

CSS = f"""
.block-container{{padding-top:2.6rem;max-width:74rem}}
.stMain [data-testid=stVerticalBlock]{{gap:.45rem}}
[data-testid=stHtml] p,[data-testid=stHtml] ul{{margin-bottom:.3rem}}
.stMain [data-testid=stHtml] :is(h1,h2,h3,p,td,li,.vt-claim){{unicode-bidi:plaintext}}
h1,h2,h3{{margin:0!important;line-height:1.2!important}}
h1{{font-size:1.75rem!important;padding:.1rem 0 .2rem!important}}
h2{{font-size:1.25rem!important;padding:1.3rem 0 .1rem!important}}
h3{{font-size:1.05rem!important;padding:.8rem 0 .1rem!important}}
.stMain a,.stMain a:visited{{color:#072871}}
[data-testid=stSidebarNavLink] span{{color:{INK}}}
[data-testid=stSidebarNavLink] :is(span,p){{white-space:normal;overflow-wrap:anywhere}}
[data-testid=stSidebarNavLink]{{height:auto}}
.vt-scroll{{overflow-x:auto;margin:.1rem 0 .7rem}}
.vt-scroll:focus-visible{{outline:3px solid #072871;outline-offset:2px}}
table.vt{{border-collapse:collapse;width:100%;font-size:.92rem}}
table.vt caption{{position:absolute;width:1px;height:1px;overflow:hidden;
  clip-path:inset(50%)}}
table.vt th{{text-align:left;font-weight:600;border-bottom:2px solid {INK};
  padding:.25rem .7rem .25rem 0;vertical-align:bottom;overflow-wrap:normal;
  hyphens:auto}}
table.vt td{{border-bottom:1px solid #ddd8cf;padding:.38rem .7rem .38rem 0;
  vertical-align:top;min-width:4.5rem;overflow-wrap:break-word}}
table.vt tbody th{{border-bottom:1px solid #ddd8cf;vertical-align:top;width:12rem}}
table.vt td a,.vt-p a{{display:inline-block;min-height:24px}}
.vt-p{{margin:.1rem 0 .5rem;overflow-wrap:anywhere}}
.vt-note{{color:#55514a;font-size:.88rem;margin:.1rem 0 .6rem}}
.vt-tags{{display:flex;flex-wrap:wrap;gap:.4rem 1.2rem;margin:.2rem 0 .8rem}}
.vt-caution{{border:2px solid {RED};border-left-width:10px;padding:.45rem .8rem;
  margin:.25rem 0;background:#fff}}
.vt-caution b{{color:{RED};letter-spacing:.04em}}
.vt-caution.r{{border-style:double;border-width:4px;border-left-width:10px}}
.vt-claim{{border-left:4px solid {RULE};padding:.1rem 0 .1rem .8rem;margin:.5rem 0}}
.vt-claim.against{{border-left-style:dotted}}
.vt-claim .s{{color:#55514a;font-size:.88rem}}
.vt-chip{{white-space:nowrap;margin-right:.45rem}}
.vt-chip i{{display:inline-block;width:1.9rem;height:1.05rem;vertical-align:-.18rem;
  border:1.5px solid;margin-right:.35rem;forced-color-adjust:none}}
.vt-chip b{{display:inline-block;min-width:1rem}}
.vt-dots{{letter-spacing:.12em;white-space:nowrap}}
.vt-big{{font-size:1.25rem;margin:.2rem 0 .4rem;overflow-wrap:anywhere}}
.vt-sheet{{border:1px solid {RULE};padding:.7rem 1rem;margin:.3rem 0 .8rem}}
.vt-two{{display:grid;grid-template-columns:1fr 1fr;gap:1rem}}
@media(max-width:640px){{.vt-two{{grid-template-columns:1fr}}}}
@media(max-width:1100px){{.stMain [data-testid=stHorizontalBlock]{{flex-wrap:wrap}}
  .stMain [data-testid=stColumn]{{min-width:min(100%,19rem);flex:1 1 19rem}}}}
@media print{{[data-testid=stSidebar],[data-testid=stHeader]{{display:none}}}}
""" + "\n".join(
    f".vt-chip.v-{key} i{{background:{_PATTERN[key].format(c=one.colour)};"
    f"border-color:{one.colour}}}"
    for key, one in VERDICTS.items()
)

LARGE = """
.stApp button,.stApp [data-testid=stSidebarNavLink],.stApp [role=radiogroup] label,
.stApp div:has(>input[type=text]),.stApp div:has(>input[type=search]){min-height:52px}
.stApp :is(.stSelectbox,.stTextInput,.stMultiSelect) div:has(input){height:auto!important}
.stApp :is(.stSelectbox,.stTextInput,.stMultiSelect) input{height:50px!important}
.stApp .stMultiSelect [role=group]:has(>[data-testid=stMultiSelectTagsContainer])
{height:auto!important;max-height:none!important;min-height:54px}
.stApp .stMultiSelect [data-testid=stMultiSelectTagsContainer]>span>span
{min-height:44px;font-size:1.05rem;align-items:center}
.stApp button p,.stApp label p,.stApp input,.stApp [data-testid=stSidebarNavLink] span
{font-size:1.15rem}
table.vt tbody th{{border-bottom:1px solid #ddd8cf;vertical-align:top;width:12rem}}
table.vt td a,.vt-p a{min-height:44px;padding:.35rem .2rem}
"""
"""Large targets: gloves, a tablet, a bench."""
