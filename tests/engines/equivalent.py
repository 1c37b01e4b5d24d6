"""Mutants that say the same as the original, each with the reason: (pattern of what is told, reason)."""

EQUIVALENT: tuple[tuple[str, str], ...] = (
    (r"«\+→-»0[),<>=]", "adding or taking nothing both turn a blank into 0"),
    (r"«\+→-»0$", "adding or taking nothing both turn a blank into 0"),
    (r"«\*→/»1[)+]", "times one is by one: it turns a comparison into a number"),
    (r"ROUND\([^«]*,«6→7»\)", "a guard digit: it tells a millionth of a watt-hour from none"),
    (r"ROUND\([^«]*,«9→10»\)", "a guard digit against float dust"),
    (r"ROUND\([^«]*,«0→1»\)&\" (in series|in parallel|input|modules)", "whole numbers have no first decimal"),
    (r"ROUND\(-\{voltage_margin\},«0→1»\)", "loads are counted in whole numbers"),
    (r"strings\.words: .*verdict\},«1→2»\)", "where one module fails, two in parallel fail for the same reason"),
    (
        r",«0→1»\)>(N\()?(INDEX\()?\{candidates\.packs_max",
        "more than a whole number, or more than its next: the same question",
    ),
    (r"trip\.\w+_0: =IF\(0>.*\+«0→1»,", "no packs are never more than the most"),
    (r"storage_wh\[same\]\}\)?«\+→-»0\*", "no packs add nothing and take nothing"),
    (
        r"storage_needed_wh\}(«-→\+»0\.0000005|-«0\.0000005→1\.0000005»)",
        "a guard digit: half a millionth of a watt-hour",
    ),
    (r"cord\.amps: .*<«150→151»", "no house has a voltage between 120 and 208 V"),
    (r"line\.is_ac: =IF\(\{volts\}>«0→1»", "a voltage is 0 or at least 100"),
    (r"ROUND\(ROUND\([^«]*,«6→7»\)", "a guard digit before a sentence rounds to whole numbers"),
    (r",«999→1000»\)", "no sentence is that long"),
    (
        r"mains_share\}«\*→/»\{plan\.mains_w\}",
        "whether a source gives anything, and not how much: an outlet gives more than nothing",
    ),
    (r"«1000000000000→1000000000001»", "any number that no price reaches comes last"),
    (r"line\.(w|va)_.*=«0→1»,", "the largest of its turns has none ahead of it, so it counts either way"),
    (r"azimuth_deg}«-→\+»180", "half a turn forward and half a turn back are the same direction"),
    (r"(unserved_wh): =IF\({\w*net_wh}<«0→1»", "a surplus leaves nothing unserved, whichever branch computes it"),
    (r"so_that: .*MAX\(«0→1»,LEN", "a promise that breaks is told in more letters than one"),
    (r"decision\.headline: .*ROUND\({planned_h},6\),«0→1»", "an outage is planned in whole hours"),
    (r"decision\.why: .*ROUND\({demand.incomplete},«0→1»", "a count is whole"),
    (r"fit\.cold_margin: .*«OR→AND»", "neither temperature is ever a text"),
    (
        r"(card|hold)_\w+\.\w+: .*MATCH\([^«]*\{hold\.t\},«0→1»\)",
        "readings stand in order: the last one that is not later is the one sought",
    ),
    (
        r"(card|hold)_\w+\.\w+: .*ROUND\(100\*INDEX\(\{hold\.\w+_share\}[^«]*,«0→1»\)",
        "a charge to hold is a whole percent",
    ),
    (r"load\.ask: .*«6→7»", "no case lies within a millionth of a watt-hour of the threshold"),
    (r"load\.ask: .*«200→201»", "no remark is so long"),
    (r"«99999→100000»", "any hour that no outage reaches stands for never"),
    (
        r",«(80→81|99→100|250→251|500→501|900→901|999→1000|30000→30001)»\)",
        "the rest of a sentence: none is that long",
    ),
    (
        r"(ratio|least_ratio): .*\[same\]\}=\"UNDER\",\{\w+_ratio\},«1→2»",
        "a check that does not fall short is never the least",
    ),
    (r"check\.least_ratio: =MIN\(«1→2»,", "the other checks say 1 where none falls short"),
    (r"check\.solar_ratio: .*(«/→\*»\{need\.solar\}|,«1→2»\)\))", "one layout is needed wherever modules are planned"),
    (r"(check\.(cold|voltage)_margin|word\.cold): .*«OR→AND»\(ISTEXT", "neither is ever a text: both are, or none"),
    (r"\{(check\.voltage_margin\[same\]|need\.voltage)\},6\),«0→1»\)", "loads are counted in whole numbers"),
    (r"door\.reading_2: =IF\(«OR→AND»\([^,]*\)", "of one comparison"),
    (r"served\.critical_until_h: .*«MIN→MAX»\(IFERROR", "of one number"),
    (r"ROUNDDOWN\(.*,6\),1\),«1→2»\)", "it is cut to tenths already"),
    (r"told\.\w+: .*_(off|asked)_h\[same\]\},6\),«0→1»\)", "hours are counted whole"),
    (r"served\.\w+_off_h: .*\{hourly\.t\}«<→<=»", "after the last hour no tier counts as served or not"),
    (r"served\.\w+_(off|asked)_h: .*«0\.0000005→", "a guard digit: half a millionth of a watt-hour"),
    (r",6\),«0→1»\),0\)", "FIXED cuts the tenth that ROUND would leave"),
    (
        r"short_outage: .*«OR→AND»\(\{promise\.broken_tier",
        "there is a tier that breaks it exactly where there is an hour",
    ),
    (r'"off",MIN\(«1→2»', "what finds room is never more than the whole"),
    (r"near\.more_packs: .*kept_share\}\),«9→10»", "a guard digit against float dust"),
    (r"near\.more_packs: =IF\(\{missing_wh\}<=0,0,IF\(\(N\([^«]*«\*→/»", "its sign alone is asked"),
    (r"near\.generator_h: =IF\(\{missing_wh\}<=0,0,IF\(\(MIN\([^«]*«\*→/»INDEX", "its sign alone is asked"),
    (r"near\.generator_h: .*,«1→2»,0\)\)>0", "its sign alone is asked"),
    (r"near\.generator_h: .*,1,«0→1»\)\),0\)\)", "it is asked only where cells are warm enough to charge"),
    (r"outage_drop\.text: .*safe_drop_share\},«8→9»", "a guard digit against float dust"),
    (
        r"promise\.broken_tier: .*«OR→AND»\(\{plan\.promised\}<2",
        "where critical loads alone are promised, they are what breaks it",
    ),
    (
        r"what_if\.packs_needed: .*\(\(\(\{tried\.storage_wh\}\+IF\(OR\(.*«0→1»",
        "whether all that it may take are enough is asked, not how many",
    ),
    (
        r"what_if\.packs_needed: .*(«-→\+»\{tried\.storage|«0→1»\)\)\)\)\*\{tried\.pack_wh)",
        "whether all that it may take are enough is asked, not how many",
    ),
    (r"told\.longer_words: .*<«0→1»,\"longer\"", "hours are counted whole"),
    (r"told\.phrase: .*«40→41»", "no list of questions is of just that length"),
    (r"paper\.\w+: .*MATCH\(\{number\},\{priced\.place\},«0→1»\)", "places stand in order, without a gap"),
    (r"ranges\.\w+_0: =IF\(0>.*\+«0→1»,", "no packs are never more than the most"),
    (
        r"(clock\.generator_share|tried_day\.longer_share): .*MIN\(\{(clock\.)?hour(\[same\])?\}\+«25→26»",
        "what reaches beyond the hour is cut: a share is 1 at most",
    ),
    (r"tried_day\.longer_share: .*MIN\(«24→25»,", "a window of more than a day is a whole day: each share is cut at 1"),
    (
        r"tried_day\.scale_\d_\w+: .*«(0\.8→1\.8|1\.25→2\.25)»\*(SUM\()?\{(tried_day\.)?promised_ac\}\)",
        "whether there is a draw is the same at any scale",
    ),
    (
        r"needed_with_loads_wh\}(«-→\+»0\.0000005|-«0\.0000005→1\.0000005»)",
        "a guard digit: half a millionth of a watt-hour",
    ),
    (
        r"try_left\.days: .*starts_at\}«\+→-»24\*\{plan\.days\}\),24\)",
        "whole days forward or back, the clock says the same",
    ),
    (r"word\.handling: .*\"UNDER\"\)(«>→<»0|>«0→1»)", "a remark is never UNDER"),
    (
        r"card_refill\.\w+: .*60\*\{outage\.(generator|mains)_from\},6\),0\),«1440→1441»\)",
        "a window begins within the day",
    ),
    (
        r"layouts\.gives_\d: .*IF\(\(MIN\([^()]*\)(\*\{series\})?«\*→/»\{\w+\}(\*\{parallel\})?\)=0",
        "a layout has one and more",
    ),
    (
        r"card_start\.text: .*\{outage\.start_share\},«8→9»\)",
        "a guard digit: no display shows a millionth of a percent",
    ),
    (r"demand\.busiest_at: .*«24→25»", "a day more puts an hour behind all others, as does a day and an hour"),
    (r"hours\.dc_\w+: .*dc_v\}>«0→1»", "a DC port has 5 V and more"),
    (r"line\.share_23: .*MEDIAN\(23,«24→25»,N", "a load starts before midnight"),
    (r"line\.share_23: .*MEDIAN\(0,«1→2»,", "a load ends before the second midnight"),
    (r"strings\.series_low: .*MAX\(«0→1»,", "a module gives more than a volt"),
    (r"spared\.stores_wh: .*«6→7»\)", "a guard digit: it tells a millionth of a watt-hour from none"),
    (r"read_\w+\.\w+: .*,«12→13»\)", "a guard digit: it tells no second from none"),
    (
        r"read_\w+\.\w+: =IF\(«AND→OR»\(ISNUMBER",
        "a blank is below the lowest that is asked for, a text above the highest",
    ),
    (
        r"read_sun\.solar_noon_at: .*«(24→25|1→2)»",
        "noon lies from 9 to 15: what is read otherwise is beyond it either way",
    ),
    (r"read_outage\.(starts_at|reading_\d): .*(<«1→2»|<=«23→24»)", "full hours alone are taken"),
    (
        r"told\.words: .*\{essential\}«<>→=»\"\",\{essential\},\{convenience\}\)\),3\)",
        "where all fare alike, either tells",
    ),
    (r"strings\.parallel_most: .*=\"\",«6→7»,MAX\(1", "of all that are tried, none but the first six"),
    (r"line\.is_dc: =IF\(\{dc_v\}>«0→1»", "a DC port has 0 V or at least 5"),
    (r"(\{line\.volts\}>=|\{volts\}<)«150→151»", "no feed has 150 V"),
    (r"line\.low_one_w: =IF\(AND\(\{volts\}>«0→1»", "a voltage is 0 or at least 100"),
    (r"hours\.needed_w: .*«6→7»\)$", "a guard digit: it tells a millionth of a watt from none"),
    (r"deliveries\.holds: .*IF\(N\(\{power_w\}\)=0,«1→2»", "no watts are none, however often"),
    (r"what_if\.\w+: .*«6→7»\)>=0", "a guard digit: it tells a millionth of a watt-hour from none"),
    (r"SUMPRODUCT\(\([^«]*\)\*«1→2»\)>0", "twice a count is above 0 where the count is"),
    (
        r"read_\w+\.\w+: .*list_(both_byswitch2|km_mi2|battery_outlet2|oneatatime_together2|alwayson_onlywithacloads2|v_v5"
        r"|metric_us2)\.word\},«0→1»\)",
        "these words stand in order, and what is sought is one of them",
    ),
    (
        r"marks\.time: .*\{plan\.days\}\)/24,«0→1»\),IF\(",
        "a whole number is above another one, or above its tenths, alike",
    ),
    (r"fit\.reason: .*\{plan\.generator_w\}\)\),0\)>«0→1»", "watts that wait for a figure are many, or none"),
    (r"spared\.runs_w: .*,4\)>=«2→3»", "a load with a place of its own counts in watts and volt-amperes alike"),
    (r"spared\.runs_w: .*\{line\.need_w\[same\]\},6\),«0→1»\),0\)\+", "nothing is never enough, so it is not told"),
    (
        r"spared\.(stores|runs)_wh?: .*(/«10000→10001»|,«10000000000→10000000001»)",
        "both but set loads in an order, far below and far above what any gives back",
    ),
    (r"spared\.starts_w: .*«\*→/»\{line\.is_ac\[same\]\},6\),\"\"\)", "it is told of AC loads alone, of which it is 1"),
    (
        r"told\.words: .*\{critical\}=IF\(\{critical\}<>\"\",\{critical\},IF\(\{essential\}«<>→=»",
        "asked only where critical loads are told of, and these come first",
    ),
    (
        r"near\.generator_h: .*ac_charge_efficiency\},1,\{decision\.nearest_number\}\)«\*→/»IF",
        "by 1 or times 1; where cells are too cold, nothing is stored and that branch is not reached",
    ),
    (r"check\.short_outage: .*ISTEXT\(\{check\.vehicle_margin\[same\]\}\),«0→1»", "neither 0 nor 1 is below 0"),
)
"""Of formulas."""

EQUIVALENT_MODEL: tuple[tuple[str, str], ...] = (
    (
        r"notice\.unread_of: ",
        "no case has cells that can't be read; tests/engines/test_wrong_inputs.py and tests/model/test_notice.py hold it",
    ),
    (
        r"timeline\.marks_of: 1 -> 2 in: day, day_before",
        "a mark is on a whole hour: two minutes before it are the same day",
    ),
    (r"hold\.hold_share: 1\.0 -> 2\.0 in: return min\(", "what does not fit is off by then: a guard against dust"),
    (r"answer\._longer: 0 -> 1 in: .* if off < 0", "hours are whole, and no difference is not told"),
    (r"slots_for: ", "how many spare rows there are is no cell; tests/model/test_study.py holds it"),
    (
        r"_line: .* in: number=i \+ 1",
        "the number of a line is a constant of the map, no formula; the walk reads it from there",
    ),
    (
        r"desk_of: (i \+ 1 -> i - 1|1 -> 2) in: (SkyDay|DeliveryLine)\(",
        "the number of a day or a delivery is a constant of the map, no formula; tests/model/test_study.py holds it",
    ),
    (
        r"study\.study: slots or slots_for",
        "how many spare rows there are is no cell; tests/model/test_study.py holds it",
    ),
    (
        r"(study\._padded|vehicle\._seven): (.* -> .*\+ len\(|1 -> 2)",
        "more blanks at the end than the sheets have room for",
    ),
    (r"demand\._hour: 0\.0 -> 1\.0 in: .*start_one_w", "there is always a line, if only a spare one"),
    (r"sun_months: 1 -> 2 in: .*enumerate", "the number of a month is a constant of the map, no formula"),
    (
        r"cost_of: 0\.0 -> 1\.0 in: packs_price",
        "packs without a price leave the sum unstated, and no packs cost nothing",
    ),
    (r": (6 -> 7|9 -> 10) in: .*round\(|: 6 -> 7 in: .*(harvest_wh|, DUST|, 6\))", "a guard digit against float dust"),
    (r"spoken: 1 -> 2 in: step = Decimal\(1\)", "rounding looks at the exponent of the step alone"),
    (
        r"recharge: 0\.0 -> 1\.0 in: generator_h = .* else 0\.0",
        "hours of a generator of no watts burn nothing and are not shown",
    ),
    (r"strings: 0\.0 -> 1\.0 in: cold_margin_v=", "no layout is allowed where no voltage limit is stated"),
    (r"strings: 0 -> 1 in: words=.*layouts\[0\]", "where one module fails, two in parallel fail for the same reason"),
    # What no cell shows: held by facts instead, and tried against them.
    (
        r"decision\.(decide: (24\.0|pick or nearest ->)|_picked: pick\.remarks|_advice: |_chosen_by: |_why: )",
        "told on the terminal and in JSON; tests/model/test_decision.py holds it",
    ),
    (
        r"(hold_lines|shedding\._hour|clock_hours): .* in: day=t // 24 \+ 1,",
        "told in JSON, and a constant of the map; tests/model/test_hourly.py holds it",
    ),
    (r"shedding\._hour: .* in: (stored|missing)_wh=", "told in JSON; tests/model/test_shedding.py holds it"),
    (
        r"promise\.carried: .* in: used_wh=|carried: 0 -> 1 in: sum\(day\.source_wh",
        "told in JSON; tests/model/test_shedding.py holds it",
    ),
    (r"recharge\.recharge: .* in: (share_of_need|design_w)=", "told in JSON; tests/model/test_recharge.py holds it"),
    (r"loads\._line: .* in: energy_share=", "told in JSON; tests/model/test_loads.py holds it"),
    (r"loads\.asks: .* in: if 0 < hours < SHORT_H", "no case is so short; tests/model/test_loads.py holds it"),
    (r"vehicle\.(vehicle_fit: plate_wh|arrival: 0 -> 1 in: words=)", "tests/model/test_vehicle.py holds it"),
    (r"quotation\.(cents|_sums): .* \+ 0\.0 -> ", "a sign before 0; tests/model/test_quotation.py holds it"),
    (
        r"quotation\.(_standard: (\d) -> \d in: (_line\()?\2,|_line: 1 -> 2 in: own=1|_own: .*number=OWN|quotation_of: 1 -> 2)",
        "the number of a line is a constant of the map; tests/model/test_quotation.py holds it",
    ),
    (
        r"(readings_of|_readings): .* in: return tuple\(Reading\(number",
        "the number of a reading is a constant of the map; tests/model/test_door_card.py and test_hourly.py hold it",
    ),
    (
        r"(desk\.padded: size|door_card_of: len\(readings\)|(held|tried)_hours: .* \+ 1 - len)",
        "more rows at the end than the sheets have room for; tests/model/test_study.py and test_hourly.py hold it",
    ),
    (
        r"(clock_hours|held_hours|tried_hours|outage_table): (1 -> 2|24 -> 25) in: (return|sun_wh=|wasted_wh=)",
        "a row more at the end than the sheets have room for; tests/model/test_hourly.py holds it",
    ),
    (
        r"(study\.study|door_card_of|_places|door_card\._list): 1 -> 2 in: (door_card=|days=|return tuple\(place|for k in)",
        "a line more at the end than the page has room for; tests/model/test_door_card.py and test_answer.py hold it",
    ),
    (
        r"door_card\._start: (0 -> 1|100 -> 101) in: return isinstance",
        "no case is so near; tests/model/test_door_card.py holds it",
    ),
    (r"module_hours: 24 -> 25", "an hour more than a day has; tests/model/test_strings.py holds it"),
    (
        r"strings\.(strings: 0 -> 1 in: longest=|_(known_)?layout: 0(\.0)? -> 1(\.0)? in: (inputs_used =|limit_w=0|gives_w=|harvest_wh ?=))",
        "what a layout gives that is not allowed is no cell; tests/model/test_strings.py holds it",
    ),
    (r"study\._errands: ", "no cell: it hides the Vehicle sheet; tests/model/test_study.py holds it"),
    (r"study\._offers: (0 -> 1|slots)", "spare candidates beyond the slots; tests/model/test_study.py holds it"),
    (r"demand\._pool_words: 1 -> 2", "the last line is a spare one; tests/model/test_demand.py holds it"),
    (r"demand\.demand_of: 0\.0 -> 1\.0 in: largest_low", "there is always a line; tests/model/test_demand.py holds it"),
    (
        r"money\.stages_of: 0\.0 -> 1\.0 in: full",
        "no sheet tells the size of a stage; tests/model/test_money.py holds it",
    ),
    (
        r"offer\.(draft_of: 0\.0 -> 1\.0 in: promised|_deliveries: 0\.0)",
        "no case is within a watt of a blank; tests/model/test_decision.py and test_vehicle.py hold it",
    ),
    (
        r"out_of_storage_wh: (dc_wh|.* - dc_wh)",
        "no load that would help is on DC; tests/model/test_decision.py holds it",
    ),
    (r"fit\._soft: 0\.0 -> 1\.0 in: weight", "no case weighs nothing; tests/model/test_fit.py holds it"),
    # What makes no difference at all.
    (
        r"demand\.hours_of_day: 0\.0 -> 1\.0 in: largest_low",
        "without a line nothing runs on a leg, whatever the largest",
    ),
    (r"doubt_of: 0\.0 -> 1\.0 in: largest", "without a line nobody has the largest doubt"),
    (r"loads\._first: 0 -> 1 in: .*volts", "a feed has 0 V, or 100 V and more"),
    (r"told_of: 0\.0 -> 1\.0 in: weight", "only the unit is taken"),
    (r"sun_hours: .*azimuth_deg - 180 ->", "half a turn forward and half a turn back are the same direction"),
    (r"strings\._too_high: 0\.0 -> 1\.0 in: .*pv_max_v", "no layout is allowed where no voltage limit is stated"),
    (r"strings\._too_low: 0\.0 -> 1\.0 in: .*pv_min_v", "a module gives more than a volt"),
    (r"study\._offers: 1 -> 2 in: offers = \[offer_of", "a spare candidate more is worked out, and is like the others"),
    (r"study\._asked: 24\.0 -> 25\.0", "an hour has no more than a whole source, however long the window"),
    (r"vehicle\._cut: 1 -> 2", "it is cut to a tenth before"),
)
"""Of the model: (pattern of what is told, reason)."""
