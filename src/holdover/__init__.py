"""From a survey of loads to a live workbook that decides which portable battery-inverter unit to buy."""


def version() -> str:
    """The installed version."""
    from importlib.metadata import version as installed

    return installed("holdover")
