from ui.paper.report_layout import *
