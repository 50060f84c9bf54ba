"""A truck that backs up to the bench, and a machine that drives off as the edge lets go.

A truck may be loaded over its side or over its rear. Over the side each pass ends at another bearing,
which the swing plan works out; over the rear all of them end on one line. The ground that is dug is
swung clear of the truck's nearest corner by as much. All of it is plain geometry seen from above;
nothing here says when an edge lets go, or how much of it.
"""

from __future__ import annotations

from generator.calc.formula import Formula, Input, Output, Source

_GEOMETRY = Source(None, "geometry, seen from above", "derived")

_PASSES = Input(
    "passes", "n", "count", "the number of passes to fill the truck", low="1", high="60", default="6",
    example_us="6", example_metric="6",
)  # fmt: skip
_ARC = Input(
    "dig_arc", "A_dig", "angle", "the arc dug from for one truck", low="0 deg", high="150 deg", default="40 deg",
    example_us="40 deg", example_metric="40 deg",
)  # fmt: skip
_WIDTH = Input(
    "truck_width", "W_truck", "length", "the overall width of the truck", low="2 ft", high="40 ft",
    example_us="10 ft", example_metric="3 m",
)  # fmt: skip
_REAR = Input(
    "rear_stand", "D_rear", "length", "from the swing centre to the rear end of the body", low="1 ft", high="200 ft",
    example_us="28 ft", example_metric="8.5 m",
)  # fmt: skip
_NEAR = Input(
    "rear_near", "A_rear", "angle", "the swing from the near end of the dig to the middle line of the truck", low="0 deg",
    high="260 deg", example_us="40 deg", example_metric="40 deg",
)  # fmt: skip
_LIMITS = (
    "The truck stands square to the face, its rear to the excavator. It is filled on its middle line. A truck that backs up "
    "needs an alarm that is heard or a person who signals."
)

REAR_STAND = Formula(
    id="loading.rear_stand",
    title="Where a truck that backs up stops",
    words="Its rear comes as near the face as the side of a truck that drives by, less the room to spare.",
    written="truck_distance * sin(truck_angle) - truck_width / 2 + spare",
    result=Output("D_rear", "length", "from the swing centre to the rear end of the body", places=2),
    inputs=(
        Input("truck_distance", "d", "length", "from the swing centre to the middle of a truck that drives by", low="4 ft",
              high="200 ft", example_us="31 ft", example_metric="9.5 m"),
        Input("truck_angle", "b", "angle", "the angle between that truck and the line to it", low="20 deg", high="160 deg",
              default="90 deg", example_us="80 deg", example_metric="80 deg"),
        _WIDTH,
        Input("spare", "s", "length", "the room to spare, as its driver does not see the line", low="0 ft", high="20 ft",
              default="2 ft", example_us="2 ft", example_metric="0.6 m"),
    ),
    positive=(("truck_distance * sin(truck_angle) - truck_width / 2", "the truck reaches over the swing centre"),),
    source=_GEOMETRY,
    limits=_LIMITS,
)  # fmt: skip

REAR_NEAR = Formula(
    id="loading.rear_near",
    title="Swing from the near end of the dig to a truck that backed up",
    words="The swing kept clear of the truck, and how far its rear corner is turned from its middle line.",
    written="swing_near + atan(truck_width / 2 / rear_stand)",
    result=Output("A_rear", "angle", "from the near end of the dig to the truck's middle line", places=1),
    inputs=(
        Input("swing_near", "A_near", "angle", "the swing from the near end of the dig to the truck's nearest corner", low="0 deg",
              high="170 deg", default="30 deg", example_us="30 deg", example_metric="30 deg"),
        _WIDTH, _REAR,
    ),
    source=_GEOMETRY,
    limits=_LIMITS,
)  # fmt: skip

REAR_FIRST = Formula(
    id="loading.rear_first",
    title="First swing to a truck that backed up",
    words="The first dig lies half a part of the arc from its far end.",
    written="rear_near + dig_arc * (1 - 1 / (2 * passes))",
    result=Output("A_first", "angle", "swing of the first pass", places=1),
    inputs=(_NEAR, _ARC, _PASSES),
    source=_GEOMETRY,
    limits=_LIMITS,
)

REAR_LAST = Formula(
    id="loading.rear_last",
    title="Last swing to a truck that backed up",
    words="The last dig lies half a part of the arc from its near end.",
    written="rear_near + dig_arc / (2 * passes)",
    result=Output("A_last", "angle", "swing of the last pass", places=1),
    inputs=(_NEAR, _ARC, _PASSES),
    source=_GEOMETRY,
    limits=_LIMITS,
)

REAR_SWING = Formula(
    id="loading.rear_swing",
    title="Swing that a truck waits for, loaded over the rear",
    words="Every pass after the first swings out and back by as much, as all of them end on one line.",
    written="2 * (passes - 1) * rear_near + dig_arc * (passes - 1)**2 / passes",
    result=Output("A", "angle", "swing from the first dump to the last", places=1),
    inputs=(_NEAR, _ARC, _PASSES),
    source=Source(None, "the swings of all passes but the first, added up", "derived"),
    limits=_LIMITS,
)

REAR_REACH = Formula(
    id="loading.rear_reach",
    title="Reach that fills the front of a body over its rear",
    words="To the rear end of the body, and on to the middle of its foremost part.",
    written="rear_stand + body_length * (1 - 1 / (2 * passes))",
    result=Output("R", "length", "reach that the first bucket takes"),
    inputs=(
        _REAR,
        Input("body_length", "L_body", "length", "the inside length of the truck body", low="2 ft", high="50 ft",
              example_us="18 ft", example_metric="5.5 m"),
        _PASSES,
    ),
    source=_GEOMETRY,
    limits=_LIMITS,
)  # fmt: skip

RESPOT_TIME = Formula(
    id="loading.respot_time",
    title="Time lost in a shift when each truck backs up twice",
    words="The time to back up once, times the loads of the shift.",
    written="spot_time * loads",
    result=Output("t_lost", "time", "time lost in the shift"),
    inputs=(
        Input("spot_time", "t_spot", "time", "the time to back up to the loader", low="0 min", high="30 min", example_us="0.5 min",
              example_metric="0.5 min"),
        Input("loads", "n", "count", "the loads of the shift", low="1", high="2000", example_us="40", example_metric="40"),
    ),
    source=Source(None, "one more backing up for each load", "derived"),
    limits="Only the backing up. The loader waits as well, and so does the truck behind.",
)  # fmt: skip

EDGE_PIECE = Formula(
    id="loading.edge_piece",
    title="Depth of the piece in the drawing of an edge that lets go",
    words="Just deep enough to hold a whole track that lies along the edge.",
    written="edge_distance + shoe_width",
    result=Output("p", "length", "depth of the piece that is drawn", places=2),
    inputs=(
        Input("edge_distance", "e", "length", "the nearest that the tracks come to the crest", low="1 ft",
              high="60 ft", example_us="6 ft", example_metric="2 m"),
        Input("shoe_width", "b", "length", "the width of one track shoe", low="4 in", high="60 in",
              example_us="24 in", example_metric="0.6 m"),
    ),
    source=Source(None, "the edge distance and the width of a shoe", "derived"),
    limits="An example to draw by. Nobody can say beforehand how much of an edge lets go, or when.",
)  # fmt: skip

DRIVE_OUT = Formula(
    id="loading.drive_out",
    title="How far straight back until the edge is as far off again",
    words="What the edge came nearer by, over the sine of the angle between tracks and face.",
    written="edge_moved / sin(face_angle)",
    result=Output("x", "length", "drive straight back"),
    inputs=(
        Input("edge_moved", "p", "length", "how much nearer the edge came", low="1 in", high="100 ft",
              example_us="8 ft", example_metric="2.5 m"),
        Input("face_angle", "a", "angle", "the angle of the tracks to the face", low="5 deg",
              high="90 deg", default="45 deg", example_us="45 deg", example_metric="45 deg"),
    ),
    source=_GEOMETRY,
    limits="On level ground, along the tracks, with nothing turned. It never says that an edge holds.",
)  # fmt: skip

MOVED_ALONG = Formula(
    id="loading.moved_along",
    title="How far along the face the machine stands then",
    words="The drive, times the cosine of the angle between tracks and face.",
    written="drive * cos(face_angle)",
    result=Output("y", "length", "moved along the face"),
    inputs=(
        Input("drive", "x", "length", "how far the machine drove straight", low="0 ft", high="1200 ft",
              example_us="12 ft", example_metric="3.5 m"),
        Input("face_angle", "a", "angle", "the angle of the tracks to the face", low="5 deg",
              high="90 deg", default="45 deg", example_us="45 deg", example_metric="45 deg"),
    ),
    source=_GEOMETRY,
    limits="On level ground, along the tracks, with nothing turned.",
)  # fmt: skip

PLACES = (
    RESPOT_TIME,
    REAR_STAND, REAR_NEAR, REAR_FIRST, REAR_LAST, REAR_SWING, REAR_REACH, EDGE_PIECE, DRIVE_OUT, MOVED_ALONG,
)  # fmt: skip
