"""What the offer and the card say beside the numbers: who makes the offer, its own lines and terms, whom to call.

No sizing depends on it.
"""

from holdover.case.section import Section, ask


class Business(Section):
    """Who makes the offer."""

    name: str = ask("Business", usual="", note="It heads the offer. Blank = who prepared the case.")
    address: str = ask("Address", usual="")
    contact: str = ask("Telephone, mail", usual="")
    licence: str = ask("Licence or registration", usual="")
    logo: str = ask(
        "Logo", usual="", note="A PNG or JPEG file beside the case file; it stands at the head of the offer."
    )


class OfferPaper(Section):
    """What the written offer says beside the candidate and its price."""

    number: str = ask("Offer number", usual="")
    valid_until: str = ask("Valid until", usual="", note="Any form of date; it is shown as written.")
    module_price: float | None = ask(
        "Price of a solar module",
        "money",
        low=0,
        high=10_000_000,
        note="Of each of the modules planned. Blank = modules are not part of the offer.",
    )


class Item(Section):
    """A line of the offer beside unit, packs, accessories, modules and labour."""

    name: str = ask("What", usual="")
    quantity: float | None = ask("Quantity", low=0, high=100_000, note="Blank = 1.")
    counted_in: str = ask("Counted in", usual="", note="Such as h, m or set. Blank = pieces.")
    price: float | None = ask("Price of each", "money", low=0, high=10_000_000, note="Before discount and tax.")


class Term(Section):
    """A line of the offer's terms, under each of their four headings."""

    included: str = ask("Included", usual="")
    excluded: str = ask("Not included", usual="")
    paid_share: float | None = ask("Payment", "share", low=0, high=1, note="Share of the total.")
    paid_when: str = ask("Payment due", usual="")
    delivery: str = ask("Delivery", usual="")


class Calls(Section):
    """Whom to call while the power is out: a name, a number, or both. Blank: to be written in by hand."""

    emergency: str = ask("Emergency", usual="")
    power_company: str = ask("Power company", usual="")
    installer: str = ask("Installer", usual="")
    device_maker: str = ask("Device maker", usual="", note="Of a device that somebody's health depends on.")
    neighbour: str = ask("Neighbour", usual="")
