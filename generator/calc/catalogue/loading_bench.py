"""Standing on a bench and loading from it: edge, fall zone, where the truck stops, what reaches it.

Seen from above, square to the face: the swing centre, the tracks turned at an angle to the face,
the crest, the zone where the face may fall, and the truck along the face. All of it is plain
geometry over distances that people set; nothing here says that an edge holds.
"""

from __future__ import annotations

from generator.calc.formula import COMMON_PRACTICE, Formula, Input, Output, Source

_EDGE = Input(
    "edge_distance", "e", "length", "the nearest that the tracks come to the crest", low="1 ft",
    high="60 ft", example_us="6 ft", example_metric="2 m",
)  # fmt: skip
_FALL = Input(
    "fall_zone", "F", "length", "how far out from the foot of the face nothing may stand", low="1 ft",
    high="100 ft", example_us="10 ft", example_metric="3 m",
)  # fmt: skip
_BENCH = Input(
    "bench_height", "H", "length", "the height of the bench", low="1 ft", high="40 ft",
    example_us="10 ft", example_metric="3 m",
)  # fmt: skip
_STICK = Input(
    "stick_length", "L_stick", "length", "the length of the stick, pin to pin", low="2 ft",
    high="40 ft", example_us="10 ft", example_metric="3 m",
)  # fmt: skip
_BUCKET = Input(
    "bucket_length", "L_bucket", "length", "the length of the bucket, from its pin to its teeth",
    low="0.4 ft", high="20 ft", example_us="5 ft", example_metric="1.5 m",
)  # fmt: skip
_GEOMETRY = Source(None, "geometry, seen from above", "derived")

BENCH_ALLOWED = Formula(
    id="loading.bench_allowed",
    title="Bench height, stick and site together",
    words="The smaller of two: the bench the stick gives, and the highest bench this site allows.",
    written="least(bench_height, site_bench)",
    result=Output("H", "length", "highest bench for this machine here", places=2),
    inputs=(
        _BENCH,
        Input("site_bench", "H_site", "length", "the highest bench this site allows", low="1 ft", high="40 ft",
              example_us="8 ft", example_metric="2.5 m"),
    ),
    source=COMMON_PRACTICE,
    limits="The ground and the competent person may call for less than either.",
)  # fmt: skip

BENCH_TOO_HIGH = Formula(
    id="loading.bench_too_high",
    title="A bench that is too high, for the drawing of it",
    words="Half as high again as the bench that the stick and the site allow.",
    written="bench_height * 3 / 2",
    result=Output("H_high", "length", "height of a bench that is too high", places=2),
    inputs=(_BENCH,),
    source=Source(None, "half as much again", "derived"),
    limits="An example of what not to build. It is no height to build to, and no limit.",
)  # fmt: skip

EDGE_KEPT = Formula(
    id="loading.edge_kept",
    title="How far the tracks stay from the crest",
    words="The distance the site has set; where it has set none, as far back as the bench is high.",
    written="edge_distance",
    result=Output("e_keep", "length", "distance to keep from the crest", places=2),
    inputs=(_EDGE,),
    source=COMMON_PRACTICE,
    limits="The competent person sets the distance after looking at the ground, and may call for more. It "
    "never says that an edge holds.",
)  # fmt: skip

_FACE = Input(
    "bench_height", "H", "length", "the height of the bench", low="1 ft", high="60 ft",
    example_us="10 ft", example_metric="3 m",
)  # fmt: skip

FALL_ZONE = Formula(
    id="loading.fall_zone",
    title="How far the face may fall out onto the floor",
    words="At least as far out as the face is high, and farther where the competent person says so.",
    written="greatest(bench_height, site_fall_zone)",
    result=Output("F", "length", "zone at the foot of the face to keep clear", places=2),
    inputs=(
        _FACE,
        Input("site_fall_zone", "F_site", "length",
              "the zone this site's competent person has set, or the bench height where none is set",
              low="1 ft", high="100 ft", example_us="12 ft", example_metric="4 m"),
    ),
    source=COMMON_PRACTICE,
    also=(Source("rockfall-bench-widths", "a rule for catching stones under a rock face asks for more",
                 "published"),),
    limits="For ground that lets go and slumps. Stones off a rock face, wet ground or a face dug under "
    "itself run out farther: the competent person sets more. It never says that a face will stand.",
)  # fmt: skip

TRUCK_STAND = Formula(
    id="loading.truck_stand",
    title="Where the truck stands below the bench",
    words="Edge distance, half of what the turned tracks take up, the fall zone, and half the truck.",
    written="edge_distance + (track_length * sin(face_angle) + overall_width * cos(face_angle)) / 2"
    " + fall_zone + truck_width / 2",
    result=Output("D", "length", "least distance from the swing centre to the middle of the truck",
                  places=2),
    inputs=(
        _EDGE,
        Input("track_length", "L_track", "length", "the length of track on the ground", low="2 ft",
              high="30 ft", example_us="12 ft", example_metric="3.6 m"),
        Input("face_angle", "a", "angle", "the angle of the tracks to the face", low="0 deg",
              high="90 deg", default="45 deg", example_us="45 deg", example_metric="45 deg"),
        Input("overall_width", "W", "length", "the width over the tracks", low="2 ft", high="35 ft",
              example_us="10 ft", example_metric="3 m"),
        _FALL,
        Input("truck_width", "W_truck", "length", "the overall width of the truck", low="4 ft",
              high="40 ft", example_us="10 ft", example_metric="3 m"),
    ),
    source=_GEOMETRY,
    limits="Square to the face, the truck along it, the swing centre over the middle of the tracks, the "
    "face upright. A sloping face puts the truck farther out by how far its foot lies out.",
)  # fmt: skip

TRUCK_DISTANCE = Formula(
    id="loading.truck_distance",
    title="Distance from the excavator to the truck",
    words="The distance it must be at least, along the line to the truck, or more where the job has it so.",
    written="greatest(truck_stand / sin(truck_angle), wanted_distance)",
    result=Output("d", "length", "distance from the swing centre to the middle of the body", places=2),
    inputs=(
        Input("truck_stand", "D", "length", "the least distance square to the face", low="4 ft",
              high="150 ft", example_us="30 ft", example_metric="9 m"),
        Input("truck_angle", "b", "angle", "the angle between the truck and the line to it",
              low="20 deg", high="160 deg", example_us="90 deg", example_metric="90 deg"),
        Input("wanted_distance", "d_job", "length", "the distance of this job", low="4 ft",
              high="100 ft", example_us="32 ft", example_metric="9.5 m"),
    ),
    source=_GEOMETRY,
    limits="The truck stands along the face. A job that has it nearer is not followed.",
)  # fmt: skip

BUCKET_LENGTH = Formula(
    id="loading.bucket_length",
    title="Length of a bucket that nobody measured",
    words="About half the stick, until somebody measures it.",
    written="stick_length / 2",
    result=Output("L_bucket", "length", "rough length of the bucket, pin to teeth"),
    inputs=(_STICK,),
    source=COMMON_PRACTICE,
    limits="A rough proportion for drawings and first sums. Measure the bucket and put its length into "
    "the table of machines.",
)  # fmt: skip

DUMP_REACH = Formula(
    id="loading.dump_reach",
    title="How far out the machine can dump",
    words="To dump, the bucket hangs from the end of the stick. So its own length is lost.",
    written="max_reach - bucket_length",
    result=Output("R_dump", "length", "reach of the stick's end, from the swing centre"),
    inputs=(
        Input("max_reach", "R", "length", "the greatest reach at ground level, to the teeth", low="5 ft",
              high="90 ft", example_us="32 ft", example_metric="10 m"),
        _BUCKET,
    ),
    source=Source(None, "the bucket in line with the stick at full reach", "derived"),
    limits="Near the level of the tracks. The lifting chart may allow less that far out: a full bucket "
    "at full reach is where a machine is most ready to tip.",
)  # fmt: skip

# --- one stroke of the bucket ---------------------------------------------------------------

SLICE_DEPTH = Formula(
    id="loading.slice_depth",
    title="Depth of a thin slice",
    words="About a quarter of the bucket's length.",
    written="bucket_length / 4",
    result=Output("t", "length", "depth of the slice", us="in", metric="cm"),
    inputs=(_BUCKET,),
    source=COMMON_PRACTICE,
    limits="A place to start from. Hard or sticky ground takes a thinner slice.",
)

STROKE_LENGTH = Formula(
    id="loading.stroke_length",
    title="Length of the stroke that fills the bucket",
    words="The ground that fills the bucket, over the bucket's width and the depth of the slice.",
    written="bank_volume / (bucket_width * slice_depth)",
    result=Output("L_stroke", "length", "length of the slice that fills the bucket"),
    inputs=(
        Input("bank_volume", "V_bank", "bank_volume", "the ground in the bank that fills the bucket",
              low="0.002 yd3", high="60 yd3", work_us="ft3", example_us="1.5 yd3", example_metric="1.1 m3"),
        Input("bucket_width", "W_bucket", "length", "the width of the bucket over the side cutters",
              low="0.4 ft", high="16 ft", work_us="ft", example_us="4 ft", example_metric="1.2 m"),
        Input("slice_depth", "t", "length", "the depth of the slice", low="1 in", high="5 ft",
              work_us="ft", work_metric="m", example_us="1 ft", example_metric="0.3 m"),
    ),
    source=Source(None, "volume over width and depth", "derived"),
    limits="A slice of even depth, as wide as the bucket, and nothing spilled. A deeper slice is shorter, "
    "and the bucket drags.",
)  # fmt: skip

STICK_ALONE = Formula(
    id="loading.stick_alone",
    title="How far the stick alone draws the teeth in",
    words="Stick and bucket together, times how much the cosine of the stick's angle changes.",
    written="(stick_length + bucket_length) * (cos(stick_start) - cos(stick_end))",
    result=Output("x", "length", "how far the teeth move with the stick alone"),
    inputs=(
        _STICK,
        _BUCKET,
        Input("stick_start", "a1", "angle", "the angle of the stick to the ground at the start",
              low="30 deg", high="120 deg", example_us="75 deg", example_metric="75 deg"),
        Input("stick_end", "a2", "angle", "its angle at the end", low="45 deg", high="130 deg",
              example_us="90 deg", example_metric="90 deg"),
    ),
    positive=(("cos(stick_start) - cos(stick_end)", "the stick does not come in between the two angles"),),
    source=Source(None, "projection of a turning arm on the level", "derived"),
    limits="Measured level, with the boom still and the bucket in line with the stick.",
)  # fmt: skip

BENCH_AND_STROKE = (
    BENCH_ALLOWED, BENCH_TOO_HIGH, EDGE_KEPT, FALL_ZONE, TRUCK_STAND, TRUCK_DISTANCE, BUCKET_LENGTH, DUMP_REACH, SLICE_DEPTH,
    STROKE_LENGTH, STICK_ALONE,
)  # fmt: skip
