"""Every candidate against every check, with both numbers, the margin, the price and the rank."""

from dataclasses import dataclass

from holdover.case.schema import Money, Weights
from holdover.workbook.grid import Column, Table, asked, group
from holdover.workbook.page import Chart, Series, Sheet, Words
from holdover.workbook.sheets.candidates import CANDIDATE

CHOICE = Table("choice", "Ranking", "case.money", asked(Money, "rank_by"), kind="form")

HARD = ("running", "apparent", "starting", "dc", "voltage", "storage", "solar", "vehicle")


@dataclass(frozen=True)
class _Check:
    """One check: what is needed against what is there, with the formulas of both and the words above them."""

    key: str
    title: str
    unit: str
    needed: str
    has: str
    note: str = ""
    words: tuple[str, str] = ("Needed", "There")

    def hard(self) -> tuple[Column, ...]:
        """It decides."""
        margin = f"={{{self.key}_has}}-{{{self.key}_needed}}"
        return self._columns(margin, f'IF(ROUND({{{self.key}_margin}},6)>=0,"OK","SHORT")')

    def planned(self, plan: str, holds: str) -> tuple[Column, ...]:
        """It decides where the case plans for it."""
        margin = f'=IF({plan},{{{self.key}_has}}-{{{self.key}_needed}},"")'
        return self._columns(margin, f'IF({plan},IF({holds},"OK","SHORT"),"not planned")')

    def soft(self, unstated: str = '"not stated"') -> tuple[Column, ...]:
        """A value against a limit, with words where one of them is not stated; it never decides."""
        key = self.key
        margin = f'=IF(OR(ISTEXT({{{key}_needed}}),ISTEXT({{{key}_has}})),"",{{{key}_needed}}-{{{key}_has}})'
        word = f'IF(ISTEXT({{{key}_margin}}),{unstated},IF(ROUND({{{key}_margin}},6)>=0,"OK","LOOK"))'
        return self._columns(margin, word)

    def _columns(self, margin: str, word: str) -> tuple[Column, ...]:
        key, unit = self.key, self.unit
        return group(
            self.title,
            Column(f"{key}_needed", self.words[0], unit, path=f"fit.{key}.needed", formula=self.needed, note=self.note),
            Column(f"{key}_has", self.words[1], unit, path=f"fit.{key}.has", formula=self.has),
            Column(f"{key}_margin", "Margin", unit, path=f"fit.{key}.margin", formula=margin),
            Column(
                f"{key}_verdict",
                self.title,
                path=f"fit.{key}.verdict",
                formula=f'=IF({{name}}="","",{word})',
                role="verdict",
            ),
        )


def _saying(key: str, words: str, unit: str, end: str) -> str:
    return (
        f'IF({{{key}_verdict}}="SHORT","; {words} "&ROUND(ROUND({{{key}_needed}},6),0)&" {unit} needed, "'
        f'&ROUND(ROUND({{{key}_has}},6),0)&" {end}","")'
    )


_REASON = "&".join(
    (
        _saying("running", "running", "W", "W there"),
        _saying("apparent", "apparent power", "VA", "VA there"),
        _saying("starting", "starting", "W", "W there"),
        'IF(AND({dc_verdict}="SHORT",{candidates.dc_w[same]}=""),"; DC ports: their output is not stated",'
        + _saying("dc", "DC ports", "W", "W there")
        + ")",
        'IF({voltage_verdict}="SHORT","; voltage: another one is needed by "&ROUND(-{voltage_margin},0)&" of the AC loads","")',
        _saying("storage", "storage", "Wh", "Wh usable at most"),
        'IF({solar_verdict}="SHORT","; solar: "&{strings.words[same]},"")',
        'IF({vehicle_verdict}="SHORT",IF(ROUND({vehicle_margin},6)<0,"; vehicle "&ROUND(ROUND({vehicle_needed},6),0)'
        '&" Wh needed, "&ROUND(ROUND({vehicle_has},6),0)&" Wh usable at most",IF(ROUND({trip.draw_margin_w[same]},6)<0,"; vehicle: its charger draws too much",'
        '"; vehicle: its charger needs another voltage")),"")',
    )
)
_REMARKS = "&".join(
    f'IF({{{key}_verdict}}="LOOK","; {words}","")'
    for key, words in (
        ("sockets", "more AC items than sockets"),
        ("lift", "more than one person lifts"),
        ("noise", "louder than the limit"),
        ("transfer", "its transfer gap is not stated, or too long for a load"),
        ("cold", "too cold there to charge"),
        ("lasts", "does not last the planned outage"),
    )
)
_V1 = 'IF({candidates.ac_volts[same]}="",{demand.house_v},{candidates.ac_volts[same]})'


def _stated(name: str) -> str:
    return f'=IF({{candidates.{name}[same]}}="","not stated",{{candidates.{name}[same]}})'


_VERDICT = (
    CANDIDATE,
    *group(
        "At a glance",
        Column(
            "verdict",
            "Verdict",
            path="fit.verdict",
            formula='=IF({name}="","",IF({shorts}=0,"fits","falls short"))',
            role="verdict",
        ),
        Column(
            "rank",
            "Rank",
            "number",
            path="rank.rank",
            formula="=IF({fits}=1,1+SUMPRODUCT(({fit.fits}=1)*({fit.key}<{key}))"
            '+SUMPRODUCT(({fit.fits}=1)*({fit.key}={key})*({fit.number}<{number})),"")',
            role="total",
            note="1 = first by the criterion chosen above, among those that fit. Ties keep the order of the columns.",
        ),
        Column(
            "reason",
            "Reason",
            path="fit.reason",
            formula='=IF({name}="","",IF({shorts}=0,"every check holds",MID(' + _REASON + ",3,999)))",
            role="words",
        ),
        Column(
            "remarks",
            "Worth a look",
            path="remarks",
            formula='=IF({name}="","",MID(' + _REMARKS + ",3,999))",
            role="words",
            note="Soft findings: they never decide.",
        ),
        Column("packs", "Expansion packs", "number", path="held.packs", formula="={storage.packs[same]}"),
        Column(
            "usable_wh",
            "Usable storage",
            "Wh",
            path="held.usable_wh",
            formula="={storage.usable_wh[same]}",
        ),
        Column(
            "needed_wh",
            "Storage needed",
            "Wh",
            path="storage.needed_wh",
            formula="={storage.needed_wh[same]}",
        ),
        Column(
            "runtime_h",
            "Runtime at the mean draw",
            "h",
            path="held.runtime_h",
            formula="={storage.runtime_h[same]}",
        ),
        Column("days", "Days at the mean draw", "days", path="held.days", formula="={storage.days[same]}"),
        Column(
            "weight_kg",
            "Weight with packs",
            "kg",
            path="fit.weight_kg",
            formula='=IF(OR({candidates.weight_kg[same]}="",AND({packs}>0,{candidates.pack_weight_kg[same]}="")),"not stated",'
            "{candidates.weight_kg[same]}+{packs}*{candidates.pack_weight_kg[same]})",
        ),
    ),
)

_CHECKS = (
    *_Check(
        "running",
        "Running",
        "W",
        "={demand.peak_running_w}*(1+{sizing.running_margin})",
        "={candidates.continuous_w[same]}+0",
        "Running draw at the peak with its margin, against continuous output.",
    ).hard(),
    *_Check(
        "apparent",
        "Apparent power",
        "VA",
        "={demand.peak_apparent_va}*(1+{sizing.running_margin})",
        '=IF({candidates.continuous_va[same]}="",{candidates.continuous_w[same]}+0,{candidates.continuous_va[same]})',
    ).hard(),
    *_Check(
        "starting",
        "Starting",
        "W",
        "={demand.peak_starting_w}*(1+{sizing.starting_margin})",
        "={candidates.surge_w[same]}+0",
        "Starting draw at the peak, against surge output.",
    ).hard(),
    *_Check("dc", "DC ports", "W", "={demand.peak_dc_w}", "={candidates.dc_w[same]}+0").hard(),
    *_Check(
        "voltage",
        "Voltage",
        "number",
        "=SUM({line.is_ac})",
        f"=SUMPRODUCT({{line.is_ac}}*({{line.volts}}={_V1}))"
        f'+IF(OR({{candidates.ac_volts_2[same]}}="",{{candidates.ac_volts_2[same]}}={_V1}),0,'
        "SUMPRODUCT({line.is_ac}*({line.volts}={candidates.ac_volts_2[same]})))",
        "AC loads whose voltage the candidate makes.",
        ("AC loads", "Served"),
    ).hard(),
    *_Check(
        "storage",
        "Storage",
        "Wh",
        "={storage.needed_wh[same]}",
        "={storage.usable_most_wh[same]}",
        "A day's draw, days without refill and margin, against usable storage with packs at most.",
        ("Needed", "Usable at most"),
    ).hard(),
    *_Check(
        "solar",
        "Solar",
        "number",
        "=IF({array.modules}>0,1,0)",
        "={strings.allowed[same]}",
        "String layouts of the planned modules that the inputs allow; at least one.",
    ).planned("{array.modules}>0", "ROUND({solar_margin},6)>=0"),
    *_Check(
        "vehicle",
        "Vehicle",
        "Wh",
        "=IF({vehicle.distance}>0,{trip.storage_needed_wh[same]},0)",
        "={storage.usable_most_wh[same]}",
        "The drive out of storage, and the charger's draw held.",
    ).planned("{vehicle.distance}>0", 'AND(ROUND({vehicle_margin},6)>=0,{trip.holds[same]}="OK")'),
    *_Check(
        "sockets",
        "Sockets",
        "number",
        _stated("ac_sockets"),
        "={demand.ac_items}",
        "A strip is no remedy for heavy loads.",
        ("There", "AC items"),
    ).soft(),
    *_Check(
        "lift",
        "Lift",
        "kg",
        "={sizing.lift_kg}",
        '=IF(ISTEXT({weight_kg}),IF({heaviest_kg}>{sizing.lift_kg},{heaviest_kg},"not stated"),{heaviest_kg})',
        "Above it two people or a cart; stairs and reach lower the limit.",
        ("One person lifts", "Heaviest piece"),
    ).soft(),
    *_Check(
        "noise",
        "Noise",
        "dB(A)",
        "={sizing.noise_limit_db}",
        _stated("noise_db"),
        "In a bedroom or a practice it decides more than watts.",
        ("Limit", "At 1 m"),
    ).soft(),
    *_Check(
        "transfer",
        "Transfer",
        "ms",
        '=IF(ISTEXT({demand.shortest_gap_ms}),"not stated",{demand.shortest_gap_ms})',
        _stated("transfer_ms"),
        "Only where the unit stands between mains and load.",
        ("A load rides out", "Gap"),
    ).soft('IF(ISTEXT({transfer_needed}),"not stated","LOOK")'),
    *_Check(
        "cold",
        "Charging in the cold",
        "°C",
        "={sizing.storage_c}",
        "={storage.charge_min_c[same]}",
        "Lithium cells charged too cold are damaged for good.",
        ("Where it stands", "Charging from"),
    ).soft(),
    *group(
        "Planned outage",
        *(
            Column(
                f"lasts_{part}",
                title,
                unit,
                path=f"lasts.{part}",
                formula=formula,
                role=role,
                note=note,
            )
            for part, title, unit, role, formula, note in (
                ("needed", "It lasts", "h", "", "=24*{outage.days}", "As set on the Outage sheet."),
                (
                    "has",
                    "Carried through",
                    "h",
                    "",
                    "={endurance.endurance_h[same]}",
                    "Sun, generator and shedding counted.",
                ),
                ("margin", "Margin", "h", "", "={lasts_has}-{lasts_needed}", ""),
                (
                    "verdict",
                    "Planned outage",
                    "",
                    "verdict",
                    '=IF({name}="","",IF(ROUND({lasts_margin},6)>=0,"OK","LOOK"))',
                    "",
                ),
            )
        ),
    ),
)

_OUTAGE = group(
    "In the planned outage, hour by hour",
    *(
        Column(
            name,
            title,
            unit,
            path=f"outage.{name}",
            formula=f"={{endurance.{name}[same]}}",
            role=role,
            note=note,
        )
        for name, title, unit, role, note in (
            ("endurance_h", "Lasts", "h", "total", "Until a load goes short; the whole outage where none does."),
            ("unserved_wh", "Not served", "Wh", "", "Asked of storage after it was down to its reserve."),
            ("lowest_share", "Lowest state of charge", "share", "", "Of full storage."),
            ("wasted_wh", "Sun and generator wasted", "Wh", "", "Came when storage was full, or too cold to charge."),
        )
    ),
)

_COST = (
    *group(
        "Price",
        Column("unit_price", "Candidate", "money", path="cost.unit_price", formula=_stated("price")),
        Column(
            "packs_price",
            "Packs",
            "money",
            path="cost.packs_price",
            formula='=IF(AND({packs}>0,{candidates.pack_price[same]}=""),"not stated",{packs}*{candidates.pack_price[same]})',
        ),
        Column(
            "discount",
            "Discount",
            "money",
            path="cost.discount",
            formula="=IF(ISTEXT({total}),{total},-({unit_price}+{packs_price})*{money.discount_share})",
        ),
        Column(
            "accessories",
            "Accessories",
            "money",
            path="cost.accessories",
            formula="={money.accessories_price}+0",
        ),
        Column(
            "tax",
            "Tax",
            "money",
            path="cost.tax",
            formula="=IF(ISTEXT({total}),{total},({unit_price}+{packs_price}+{discount}+{accessories})*{money.tax_share})",
        ),
        Column(
            "total",
            "Price with packs",
            "money",
            path="cost.total",
            formula='=IF(OR(ISTEXT({unit_price}),ISTEXT({packs_price})),"not stated",'
            "(({unit_price}+{packs_price})*(1-{money.discount_share})+{accessories})*(1+{money.tax_share}))",
            role="total",
        ),
        Column(
            "per_usable_kwh",
            "Per usable kWh",
            "money",
            path="cost.per_usable_kwh",
            formula='=IF(ISTEXT({total}),{total},IF({usable_wh}>0,{total}/({usable_wh}/1000),"no storage"))',
        ),
        Column(
            "life_kwh",
            "Energy over its life",
            "kWh",
            path="cost.life_kwh",
            formula="={storage.cycles[same]}*{storage.nameplate_wh[same]}*{storage.usable_share[same]}*0.9/1000",
            note="Cycles x usable storage when new x 0.9, the mean of new and 80 %.",
        ),
        Column(
            "per_life_kwh",
            "Per kWh over its life",
            "money",
            path="cost.per_life_kwh",
            formula='=IF(ISTEXT({total}),{total},IF({life_kwh}>0,{total}/{life_kwh},"no storage"))',
        ),
    ),
)

_CRITERIA = (
    ("price", "Price with packs", "money", "{total}", "lower"),
    ("life_cost", "Per kWh over its life", "money", "{per_life_kwh}", "lower"),
    ("usable", "Usable storage", "Wh", "{usable_wh}", "higher"),
    ("weight", "Weight with packs", "kg", "{weight_kg}", "lower"),
    ("noise", "Noise", "dB(A)", "{noise_has}", "lower"),
)


def _field(key: str, title: str, unit: str, figure: str) -> Column:
    return Column(
        f"field_{key}",
        title,
        unit,
        path=f"rank.field_{key}",
        formula=f'=IF({{fits}}=1,IF(ISTEXT({figure}),"",{figure}),"")',
    )


def _score(key: str, title: str, better: str) -> Column:
    mine, all_of = f"{{field_{key}}}", f"{{fit.field_{key}}}"
    gap = f"(MAX({all_of})-{mine})" if better == "lower" else f"({mine}-MIN({all_of}))"
    return Column(
        f"score_{key}",
        title,
        "share",
        path=f"rank.score_{key}",
        formula=f"=IF(ISTEXT({mine}),0,IF(MAX({all_of})=MIN({all_of}),1,{gap}/(MAX({all_of})-MIN({all_of}))))",
    )


_WEIGHED = "+".join(f"{{weights.{key}}}*{{score_{key}}}" for key, *_ in _CRITERIA)
_ALL_WEIGHTS = f"SUM({','.join(f'{{weights.{key}}}' for key, *_ in _CRITERIA)})"

_RANK = (
    *group(
        "Ranking, worked out",
        Column("number", "Column", "number"),
        Column(
            "shown_wh",
            "Storage needed, for the chart",
            "Wh",
            path="need_shown_wh",
            formula='=IF({name}="",0,{needed_wh})',
            role="quiet",
        ),
        Column(
            "shorts",
            "Checks that fall short",
            "number",
            path="fit.shorts",
            formula="=" + "+".join(f'IF({{{key}_verdict}}="SHORT",1,0)' for key in HARD),
        ),
        Column(
            "fits",
            "Fits (1 = yes)",
            "number",
            path="fit.fits",
            formula='=IF(AND({name}<>"",{shorts}=0),1,0)',
        ),
        Column(
            "heaviest_kg",
            "Heaviest piece",
            "kg",
            path="fit.heaviest_kg",
            formula="=MAX({candidates.weight_kg[same]}+0,IF({packs}>0,{candidates.pack_weight_kg[same]}+0,0))",
        ),
        Column(
            "key",
            "Figure it is ranked by",
            "",
            path="rank.key",
            formula='=IF({choice.rank_by}="weight",IF(ISTEXT({weight_kg}),1000000000000,ROUND({weight_kg},9)),'
            'IF({choice.rank_by}="price per usable kWh",IF(ISTEXT({per_usable_kwh}),1000000000000,ROUND({per_usable_kwh},9)),'
            'IF({choice.rank_by}="price per kWh over life",IF(ISTEXT({per_life_kwh}),1000000000000,ROUND({per_life_kwh},9)),'
            'IF({choice.rank_by}="weighted score",ROUND(1-{weighed},9),IF(ISTEXT({total}),1000000000000,ROUND({total},9))))))',
            note="The lowest comes first. A figure that is not stated counts as 1,000,000,000,000, so that it comes last.",
        ),
    ),
    *group("Figures of those that fit", *(_field(*row[:4]) for row in _CRITERIA)),
    *group(
        "Scores: 100 % = best of those that fit, 0 % = worst",
        *(_score(key, title, better) for key, title, _, _, better in _CRITERIA),
    ),
    *group(
        "Weighted score",
        Column(
            "weighed",
            "Weighted score, all columns",
            "share",
            path="rank.weighed",
            formula=f"=IF({_ALL_WEIGHTS}=0,0,({_WEIGHED})/{_ALL_WEIGHTS})",
        ),
        Column(
            "score",
            "Weighted score",
            "share",
            path="rank.score",
            formula='=IF({fits}=1,{weighed},"")',
            role="total",
        ),
    ),
)

FIT = Table(
    "fit",
    "Candidates side by side",
    "offers",
    (*_VERDICT, *_OUTAGE, *_COST, *_CHECKS, *_RANK),
    kind="across",
    widths={"title": 32, "unit": 12, "record": 16},
)

WEIGHTS = Table("weights", "Weights of the weighted score", "case.weights", asked(Weights), kind="form")

NEED_CHART = Chart(
    "Usable storage against the need",
    "column",
    (Series("Usable storage, with packs", "fit", "usable_wh"), Series("Storage needed", "fit", "shown_wh")),
    names=("fit", "name"),
    y_title="Wh",
)

COMPARISON_SHEET = Sheet(
    "Comparison",
    "Every check with both numbers and the margin between them. A candidate fits when no check says SHORT.",
    (
        CHOICE,
        FIT,
        NEED_CHART,
        Words(("Margins, reserve, temperature and prices that all candidates share stand under Assumptions.",)),
        WEIGHTS,
    ),
    freeze="fit",
)
