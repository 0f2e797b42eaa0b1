"""The columns of the arrays that go into and come out of the flight kernel.

Plain integers, because the compiled kernel folds them into constants. Positions are metres east and
north of the launch point, heights metres above it, times seconds after release, all float64.
"""

# Members: one row each, what was drawn for that flight.
MASS = 0
WING_AREA = 1
ZERO_LIFT_DRAG = 2
INDUCED_FACTOR = 3
LIFT_AT_LEAST_DRAG = 4
MAXIMUM_LIFT = 5
EFFICIENCY = 6
CLIMB_EFFICIENCY = 7
FULL_POWER = 8
AVIONICS_POWER = 9
AIRSPEED_FACTOR = 10
BAROMETER_ERROR = 11
CROSS_TRACK_ERROR = 12
GROUND_ERROR = 13
DENSITY = 14
CAPACITY = 15  # of the pack as it is today [Ah]
USABLE = 16  # of that capacity, as charge [Ah]
CHARGE_AT_START = 17  # already used at release [Ah]
RESISTANCE_25 = 18  # of the pack at 25 C [ohm]
PACK_TEMPERATURE = 19
RELEASE_SPEED = 20
MOTOR_DELAY = 21
DISK_AREA = 22
DISK_EFFICIENCY = 23  # battery power that reaches the propeller disk
GUST_SIGMA_U = 24
GUST_SIGMA_W = 25
GUST_LENGTH_U = 26
GUST_LENGTH_W = 27
GUST_SPREAD = 28
PILOT_AIRSPEED_ERROR = 29
MEMBER_COLUMNS = 30

# Wind: (members, 2, WIND_NODES), east and north of the air's motion at heights
# WIND_TOP * (i / (WIND_NODES - 1))^2 above launch: close together near the ground.
WIND_NODES = 16

# Legs: one row each.
KIND = 0
START_EAST = 1
START_NORTH = 2
END_EAST = 3
END_NORTH = 4
HEIGHT = 5  # demanded at its end, as indicated
AIRSPEED = 6  # demanded, equivalent
BANK = 7
RADIUS = 8
SIDE = 9  # of an orbit or of the turn that begins this leg: +1 right, -1 left, 0 shorter way
ORBIT_TURNS = 10  # neither turns nor seconds: until it has climbed to its height
ORBIT_SECONDS = 11
DIRECT = 12  # 1: the leg starts where the aircraft is when it begins; an orbit lies beside it
SLOPE = 13  # of a final, height over distance to go
ON_ROUTE = 14  # 1: route leg or orbit (headway is read)
CLEARS_GROUND = 15  # 1: between the end of the climb-out and joining the pattern
PASSES_OVER = 16  # 1: its end is overflown, 0: the corner is cut
BY_PILOT = 17  # 1: flown by hand, airspeed as well as the pilot holds it
LEG_COLUMNS = 18

CLIMB_OUT = 0.0
TRACK = 1.0
ORBIT = 2.0
FINAL = 3.0

# What the aircraft does whatever the member.
CLIMB_RATE = 0
SINK_RATE = 1
DENSITY_LAPSE = 2  # share of density lost per metre
WIND_TOP = 3
RELEASE_HEIGHT = 4
RELEASE_HEADING = 5
LAUNCH_KIND = 6  # 0 thrown or catapulted, 1 rolling on wheels
CELLS = 7
CUT_OFF = 8  # of the pack [V]
PACK_MASS = 9
GROUND_EAST = 10
GROUND_NORTH = 11
GROUND_SPACING = 12
GROUND_RADIUS = 13
TIME_LIMIT = 14
OUTSIDE_AIR = 15
KNOWN_GROUND = 16  # how far from the launch point the ground has been rolled over
PLAN_COLUMNS = 17

# State of one flight. A flight can begin from any saved state.
EAST = 0
NORTH = 1
UP = 2
TRUE_AIRSPEED = 3
HEADING = 4
PATH_ANGLE = 5
BANKED = 6
THRUST = 7
CHARGE = 8
RELAXATION = 9  # volts lost to slow polarisation
TEMPERATURE = 10
RESISTANCE = 11
HEIGHT_DEMAND = 12
GUST_U = 13
GUST_V = 14
GUST_W = 15
TURN = 16  # committed sense of the turn under way, 0 when none
LEG = 17
TRACK_EAST = 18  # where the track starts, or the centre of an orbit
TRACK_NORTH = 19
COURSE = 20
LENGTH = 21
LEAD = 22
HELD_AIRSPEED = 23
ORBIT_TURNED = 24
ORBIT_BEARING = 25
LEG_SINCE = 26
TURN_SINCE = 27
WIND_EAST = 28
WIND_NORTH = 29
LOAD = 30
FLYING = 31  # 1.2 times the stall speed has been reached
GUST_READ = 32  # the planned climb speed has been reached, or the climb-out has ended
STALL_SECONDS = 33
TIME = 34
OVERFLIES = 35  # the corner just passed was overflown: the turn aims to close with the track
POWER = 36
ROOT_DENSITY_RATIO = 37  # square root of density over sea-level density
# Carried so that none is computed twice in a step; they follow from the columns above.
COURSE_SINE = 38
COURSE_COSINE = 39
HEADING_SINE = 40
HEADING_COSINE = 41
PATH_SINE = 42
PATH_COSINE = 43
BANK_SINE = 44
BANK_COSINE = 45
STALL_EAS = 46  # equivalent, in level flight
TOUCHED = 47  # it came down to the ground on the way; flown on to see how deep
STATE_COLUMNS = 48

# Results: one row a member. Groups of PLACE_COLUMNS hold value, leg, time, east, north, height.
EVENT = 0
DURATION = 1
ENERGY = 2
CHARGE_USED = 3
END_STATE_OF_CHARGE = 4
END_PACK_TEMPERATURE = 5
END_RELAXATION = 6
LAUNCH_LEAST_HEIGHT = 7
GREATEST_WIND_RATIO = 8
GREATEST_DISTANCE = 9
LIFT_OFF_DISTANCE = 10
UNKNOWN_GROUND = 11
LEAST_VOLTS = 12
PLACE_COLUMNS = 6
EVENT_PLACE = 13
HEADWAY_PLACE = 19
TURN_PLACE = 25
GUST_PLACE = 31
GROUND_PLACE = 37
CEILING_PLACE = 43
RESULT_COLUMNS = 49

# Leg results: (members, legs, LEG_RESULT_COLUMNS).
LEG_TIME = 0
LEG_ENERGY = 1
LEG_GROUND_SPEED = 2  # mean over the straight part
LEG_CRAB = 3  # mean over the straight part, unsigned
LEG_CLEARANCE = 4
LEG_STRAIGHT = 5  # seconds of straight flight
LEG_RESULT_COLUMNS = 6

# Events, the first of a flight ends it.
LANDED = 0.0
LOST_AT_LAUNCH = 1.0
TOUCHED_GROUND = 2.0
STALLED = 3.0
PACK_EMPTY = 4.0
NOT_ARRIVED = 5.0
