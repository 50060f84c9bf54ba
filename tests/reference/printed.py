"""Every published table a second time, taken down apart from the CSV files, row by row.

Figures are separated by blanks, or by ``|`` where a mixed fraction holds a blank; a lone point
stands where the source prints none. A slip in one of the two copies shows as a difference.
"""

from __future__ import annotations

PRINTED: dict[str, dict[str, str]] = {
    # haulage slide 114: feet
    "tip-sight": {"left": "16", "right": "100"},
    # 30 CFR 57.14101, Table M-1: where the weights begin, response time in the note, feet from 20 mph
    "haul-brake-test": {
        "0 to 36000": "0 0.5 89",
        "36000 to 70000": "36000 1 104",
        "70000 to 140000": "70000 1.5 119",
        "140000 to 250000": "140000 2 133",
        "250000 to 400000": "250000 2.25 141",
        "over 400000": "400000 2.5 148",
    },
    # textbook Table 7.2 as printed in a coursework problem: track-type, wheel-type
    "dozer-job-factors": {
        "excellent operator": "1.0 1.0",
        "average operator": "0.75 0.6",
        "poor operator": "0.6 0.5",
        "loose stockpile": "1.2 1.2",
        "hard to cut or frozen with tilt": "0.8 0.75",
        "hard to cut without tilt": "0.7 .",
        "hard to cut with cable blade": "0.6 .",
        "hard to drift (dead or sticky)": "0.8 0.8",
        "ripped or blasted rock": "0.60-0.80 .",
        "slot dozing": "1.2 1.2",
        "side by side": "1.15-1.25 1.15-1.25",
        "poor visibility": "0.8 0.7",
        "50 min worked an hour": "0.83 0.83",
        "40 min worked an hour": "0.67 0.67",
        "direct drive": "0.8 .",
    },
    # institute poster of 2014, tips 2 and 3: % of the shift for new people, for those who are back
    "heat-first-days": {"day 1": "20 50", "day 2": "40 60", "day 3": "60 80", "day 4": "80 100", "day 5": "100 ."},
    # institute fact sheet 2017-126: ounces in a cup, minutes between cups, ounces an hour
    "heat-water": {"drink": "8 15 20 24 32", "never more than": ". . . . 48"},
    # institute training on long hours: hours awake, blood alcohol %
    "awake-hours": {"a long day": "17 0.05", "a day and a night": "24 0.10"},
    # agency page on fatigue: % more often hurt
    "shift-risk": {"evening shift": "18", "night shift": "30", "twelve hours a day": "37"},
    # agency forms of 1993 to 2014 and review slides: grade %, factor
    "dozer-grade-factors": {
        "downhill 10": "-10 1.15",
        "level": "0 1.0",
        "uphill 5 (1993)": "5 0.88",
        "uphill 5 (2014)": "5 0.90",
        "uphill 15": "15 0.67",
        "uphill 30": "30 0.3",
    },
    # grade correction chart, from memory: grade %, factor
    "dozer-grade-chart": {
        "downhill 30": "-30 1.6",
        "downhill 20": "-20 1.4",
        "downhill 10": "-10 1.2",
        "level": "0 1.0",
        "uphill 10": "10 0.8",
        "uphill 20": "20 0.55",
        "uphill 30": "30 0.3",
    },
    # Construction Methods and Management, Table 2-5: lb/yd3 loose, bank, compacted; kg/m3 the same; swell %
    "soil-densities": {
        "clay": "2310 3000 3750 1370 1780 2225 30",
        "common earth": "2480 3100 3450 1471 1839 2047 25",
        "rock (blasted)": "3060 4600 3550 1815 2729 2106 50",
        "sand and gravel": "2860 3200 3650 1697 1899 2166 12",
    },
    # lecture on earthmoving methods, its misprints included: to bank, loose, compacted
    "soil-conversion-factors": {
        "common earth bank": ". 1.25 0.9",
        "common earth loose": "0.8 . 0.72",
        "common earth compacted": "1.11 1.39 .",
        "sandy soil bank": ". 1.11 0.99",
        "sandy soil loose": "0.9 . 0.80",
        "sandy soil compacted": "1.05 1.17 .",
        "clay bank": ". 1.35 0.9",
        "clay loose": "0.7 . 0.63",
        "clay compacted": "1.11 1.59 .",
    },
    # engineering note of 2025, table 2: swing of 45, 60, 75, 90, 120, 180 degrees
    "swing-depth-factors": {
        "30": "1.33 1.26 1.21 1.15 1.08 0.95",
        "50": "1.28 1.21 1.16 1.1 1.03 0.91",
        "70": "1.16 1.1 1.05 1.0 0.94 0.83",
        "90": "1.04 1.0 0.95 0.9 0.85 0.75",
    },
    # CIVL 392 notes, chapter 2: management excellent, good, fair, poor
    "job-efficiency": {
        "excellent": "0.84 0.81 0.76 0.7",
        "good": "0.78 0.75 0.71 0.65",
        "fair": "0.72 0.69 0.65 0.6",
        "poor": "0.63 0.61 0.57 0.52",
    },
    # 29 CFR 1926 Subpart P, Table B-1 and note 2: run to rise, degrees, ft, m
    "excavation-slopes": {
        "stable rock": "0|90|20|6.1",
        "A": "3/4|53|20|6.1",
        "B": "1|45|20|6.1",
        "C": "1 1/2|34|20|6.1",
        "A short term": "1/2|63|12|3.67",
    },
    # 29 CFR 1926.651, .652 and appendices B and F: ft, m, in
    "excavation-rules": {
        "protection needed from this depth": "5 1.52 .",
        "engineer designs past this depth": "20 6.1 .",
        "way out needed from this depth": "4 1.22 .",
        "farthest from a way out": "25 7.62 .",
        "air tested past this depth where it may be bad": "4 1.22 .",
        "spoil back from the edge": "2 0.61 .",
        "shield above the vertical part": ". . 18",
        "dig below the shield at most": "2 . .",
    },
    # Caltrans manual, section 2-3.03: psf a foot, psf
    "timber-pressures": {"A": "25 72", "B": "45 72", "C": "80 72"},
    # 29 CFR 1926 Subpart P, appendix B, benches: ft, ft, run to rise, ft
    "benching": {"A": "4|5|3/4|20", "B": "4|4|1|20"},
    # 29 CFR 1926.1053(b)(1): ft, m
    # questions and answers on vehicle size and weight, 23 CFR 658.17: lb
    "road-weights": {"all together": "80000", "one axle": "20000", "two axles close together": "34000"},
    # the same, 23 CFR 658.15: in
    "road-width": {"truck and load": "102"},
    # 49 CFR 392.9(b): mi, h
    "load-looks": {"first look within": "50 .", "then a look each": "150 3"},
    "trench-ladders": {"ladder above the edge at least": "3 0.9"},
    # 29 CFR 1926 Subpart P, appendix A (b): kPa from, to
    "excavation-soil-types": {"A": "144 .", "B": "48 144", "C": ". 48"},
    # 29 CFR 1926.1408 Table A: over kV, up to kV, ft
    "line-clearance-table-a": {
        "up to 50 kV": "0 50 10",
        "over 50 to 200 kV": "50 200 15",
        "over 200 to 350 kV": "200 350 20",
        "over 350 to 500 kV": "350 500 25",
        "over 500 to 750 kV": "500 750 35",
        "over 750 to 1000 kV": "750 1000 45",
        "over 1000 kV": "1000 . .",
    },
    # 29 CFR 1926.1407(a) and .1408(a): over kV, up to kV, ft
    "line-clearance-start": {"up to 350 kV": "0 350 20", "over 350 to 1000 kV": "350 1000 50"},
    # 29 CFR 1926.600(a)(6)(i) and (ii), read as quoted under 1926.550(a)(15): over kV, ft, in more, for each kV
    "line-clearance-excavators": {"up to 50 kV": "0 10 . .", "over 50 kV": "50 10 0.4 1"},
    # 29 CFR 1926.600(a)(6)(iii), read as quoted under 1926.550(a)(15): over kV, up to kV, ft
    "line-clearance-excavators-moving": {"under 50 kV": "0 50 4", "50 to 345 kV": "50 345 10", "over 345 to 750 kV": "345 750 16"},
    # timber-sale road specification: run for 1 of rise, percent
    "slope-ratios": {
        "2:1": "2|50",
        "1 1/2:1": "1 1/2|67",
        "1 1/4:1": "1 1/4|80",
        "1:1": "1|100",
        "3/4:1": "3/4|133",
        "1/2:1": "1/2|200",
        "1/4:1": "1/4|400",
    },
    # FM 5-434 Table 1-1, from memory: to bank, loose, compacted
    "soil-conversion-army": {
        "sand bank": "1.0 1.11 0.95",
        "sand loose": "0.9 1.0 0.86",
        "sand compacted": "1.05 1.17 1.0",
        "loam or common earth bank": "1.0 1.25 0.9",
        "loam or common earth loose": "0.8 1.0 0.72",
        "loam or common earth compacted": "1.11 1.39 1.0",
        "clay bank": "1.0 1.43 0.9",
        "clay loose": "0.7 1.0 0.63",
        "clay compacted": "1.11 1.59 1.0",
        "rock (blasted) bank": "1.0 1.5 1.3",
        "rock (blasted) loose": "0.67 1.0 0.87",
        "rock (blasted) compacted": "0.77 1.15 1.0",
        "coral bank": "1.0 1.5 1.3",
        "coral loose": "0.67 1.0 0.87",
        "coral compacted": "0.77 1.15 1.0",
    },
    # engineering note of 2025, table 1: small, medium, large bucket
    "excavator-cycle-times": {
        "sand gravel or organic soil": "0.24 0.3 0.4",
        "earth or soft clay": "0.3 0.375 0.5",
        "rock or hard clay": "0.375 0.462 0.6",
    },
    # engineering note of 2025, table 3
    "bucket-fill-factors": {
        "earth and loam": "80-110",
        "sand and gravel": "90-100",
        "hard clay": "65-95",
        "wet clay": "50-90",
        "rock (poorly blasted)": "40-70",
        "rock (well blasted)": "70-90",
    },
    # Indonesian regulation 28/PRT/M/2016, Fb
    "bucket-fill-unit-price": {
        "easy": "1.1-1.2",
        "medium": "1.0-1.1",
        "rather hard": "0.9-1.0",
        "hard": "0.8-0.9",
    },
    # Indonesian regulation 28/PRT/M/2016, Fa
    "job-efficiency-unit-price": {
        "good": "0.83",
        "fair": "0.75",
        "rather poor": "0.67",
        "poor": "0.58",
    },
    # Indonesian regulation 28/PRT/M/2016, Fv: easy, normal, rather hard, hard to dump
    "digging-conversion-unit-price": {
        "under 40 %": "0.7 0.9 1.1 1.4",
        "40 to 75 %": "0.8 1.0 1.3 1.6",
        "over 75 %": "0.9 1.1 1.5 1.8",
    },
    # Construction Methods and Management, chapter 3, from memory
    "shovel-swing-factors": {
        "45": "1.16",
        "60": "1.1",
        "75": "1.05",
        "90": "1.0",
        "120": "0.94",
        "180": "0.83",
    },
    # Construction Methods and Management, coefficients of traction, from memory: tyres, tracks
    "traction-nunnally": {
        "concrete dry": "0.9 0.45",
        "concrete wet": "0.8 0.45",
        "earth or clay loam dry": "0.6 0.9",
        "earth or clay loam wet": "0.45 0.7",
        "gravel loose": "0.35 0.5",
        "quarry pit": "0.65 0.55",
        "sand dry and loose": "0.25 0.3",
        "sand wet": "0.4 0.5",
        "snow packed": "0.2 0.25",
        "ice": "0.1 0.15",
    },
    # Construction Planning, Equipment, and Methods, coefficients of traction, from memory: tyres, tracks
    "traction-peurifoy": {
        "dry rough concrete": "0.80-1.00 0.45",
        "dry clay loam": "0.50-0.70 0.90",
        "wet clay loam": "0.40-0.50 0.70",
        "wet sand and gravel": "0.30-0.40 0.35",
        "loose dry sand": "0.20-0.30 0.30",
        "dry snow": "0.20 0.15-0.35",
        "ice": "0.10 0.10-0.25",
    },
    # Engineering Analysis of Vehicular Accidents (1994) and a general table of tyre adhesion
    "traction-tyres": {
        "dry asphalt": "0.65",
        "dry concrete": "0.75",
        "wet grass": "0.2",
        "gravel rolled and dry": "0.4-0.7",
        "clay dry": "0.3-0.5",
        "sand loose": "0.5-0.6",
    },
    # lecture slides on forces on earthmoving machines: tyres, crawler
    "rolling-resistance": {
        "rough dry concrete": "2 .",
        "compacted earth and rock": "2 .",
        "dry fill": "3 .",
        "macadam": "3 5",
        "timber paving": "3 3",
        "level unpaved": "5 4",
        "loose gravel": "15 12",
        "loose sand": "15 12",
    },
    # Construction Methods and Management, from memory: lb/ton, kg/t
    "rolling-resistance-factors": {
        "concrete or asphalt": "40 20",
        "firm and smooth flexing slightly": "64 32",
        "rutted dirt 1 to 2 in": "100 50",
        "soft rutted 3 to 4 in": "150 75",
        "loose sand or gravel": "200 100",
        "soft muddy deep ruts": "300-400 150-200",
    },
    # building-site notes of 2014
    "repose-site-notes": {
        "wet sand": "45",
        "granite": "35-40",
        "dry sand": "34",
        "loose dry gravel": "30-45",
        "dry lump clay": "25-40",
        "natural gravel with sand": "25-30",
        "water-filled sand": "15-30",
        "wet excavated clay": "15",
    },
    # notes on pile measurement
    "repose-pile-notes": {
        "smooth gravel": "30",
        "sharp gravel": "40",
        "dry sand": "25-35",
        "moist sand": "30-45",
        "wet sand": "20-40",
    },
    # Construction Methods and Management, Table 2-6, from memory
    "repose-nunnally": {
        "clay": "35",
        "common earth dry": "32",
        "common earth moist": "37",
        "gravel": "35",
        "sand dry": "25",
        "sand moist": "37",
    },
    # 29 CFR 1926.1411 Table T, read as quoted: over kV, up to kV, ft
    "line-clearance-travelling": {
        "up to 750 V": "0 0.75 4",
        "over 750 V to 50 kV": "0.75 50 6",
        "over 50 to 345 kV": "50 345 10",
        "over 345 to 750 kV": "345 750 16",
        "over 750 to 1000 kV": "750 1000 20",
    },
    # state one-call centres
    "tolerance-zones": {
        "Mississippi": "18",
        "Florida": "24",
        "New York": "24",
        "Massachusetts": "18",
        "Rhode Island": "18",
        "Colorado": "18",
    },
    # NIOSH, the three planes of its diagrams
    "blind-area-heights": {
        "ground": "0",
        "barrel": "900",
        "small person": "1500",
    },
    # WorkSafeBC regulation 26.16
    "slope-limits-bc": {
        "rubber-tyred skidder": "35",
        "tracked machines": "40",
        "specially designed machines": "50",
    },
    # OAR 437-007-0935(1)
    "slope-limits-oregon": {
        "tracked machines": "40",
        "machines made for steep slopes": "50",
    },
    # New Zealand forest code of 2012: degrees, percent
    "slope-limits-nz": {
        "plan needed above (wheeled)": "18 30",
        "plan needed above (tracked)": "22 40",
        "working along the contour at most": "26 49",
    },
}
