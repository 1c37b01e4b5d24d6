"""From a study to a workbook: declarations of sheets, and the writer."""
