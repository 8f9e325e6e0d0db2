# conf.py - the manual as a book: pages of docs/ by Sphinx with MyST, see CMakeLists.txt beside it.
# SPDX-License-Identifier: GPL-3.0-or-later
project = "Lodeloom"
author = "the Lodeloom bench"
html_title = "Lodeloom"
extensions = ["myst_parser"]
root_doc = "index"
source_suffix = {".md": "markdown"}
exclude_patterns = ["README.md", "book"]
myst_heading_anchors = 4
suppress_warnings = ["misc.highlighting_failure"]
html_theme = "alabaster"
html_theme_options = {"fixed_sidebar": True, "page_width": "auto", "body_max_width": "none", "show_powered_by": False}
html_sidebars = {"**": ["about.html", "searchbox.html", "navigation.html"]}
html_show_sourcelink = False
html_copy_source = False
html_static_path = ["static"]
html_css_files = ["tables.css"]
highlight_language = "none"
