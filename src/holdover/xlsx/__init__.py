"""A workbook file from elsewhere, opened safely. It knows nothing of cases."""
