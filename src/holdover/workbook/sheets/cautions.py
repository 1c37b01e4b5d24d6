"""What can hurt, in one place; each line also stands where the reader meets the risk."""

from holdover.workbook.page import Sheet, Words

CAUTIONS_SHEET = Sheet(
    "Cautions",
    "Read before anything is bought or plugged in. Local codes and licensed practice go before this workbook.",
    (
        Words(
            (
                "Back-feed kills. Never connect a unit or a generator to a building's wiring through an outlet. A "
                "building is fed only through a transfer switch or interlock that a licensed electrician installs "
                "(NEC 702 in the United States; local codes elsewhere).",
                "The voltage at the outlets is as deadly as that of the mains. Use cords of the right gauge, unrolled, dry and "
                "undamaged; a hot plug or cord is a reason to stop.",
                "Carbon monoxide: a generator runs outdoors only, at least 20 feet (6 m) from the house, exhaust away "
                "from doors, windows and vents (US CPSC). Never in a garage, porch or carport. Have a CO alarm.",
                "Lithium batteries: keep them dry, upright, ventilated and off escape routes; follow the local fire code "
                "on indoor storage. A damaged, swollen or hot unit is taken outdoors and left to the fire service.",
                "Cold: lithium iron phosphate cells are not charged below 0 °C (32 °F) unless the maker says that the unit heats "
                "them; they may look full and be damaged for good.",
                "Solar modules are live whenever there is light. Never unplug under load. More than the maximum voltage "
                "of an input, even for a moment, destroys it; check the coldest morning.",
                "Medical loads: plan with the device's maker and the clinician, register with the power company where it "
                "keeps such a list, and keep a second way out. A computed runtime is not a promise.",
                "Vehicle charging: many chargers refuse a supply with a floating neutral. Bonding is a matter for the "
                "maker's instructions and a licensed electrician, and is never done on a supply that a building also "
                "feeds.",
                "Heavy lifts: 23 kg (51 lb) is the ideal one-person lift (NIOSH); stairs, reach and twisting lower it. Use two "
                "people or a cart.",
                "Numbers: a survey is an estimate, starting draws vary from motor to motor, storage ages. Measure what "
                "matters before relying on it.",
            ),
            look="caution",
            width=14,
        ),
    ),
)
