"""Pictures as SVG text: drawn in millimetres, readable in grey, with words for every mark."""
