/* The flight kernel's arithmetic in plain C: the ceiling that the compiled Python is measured by.
 *
 * Built and called by benchmarks/speed.py alone, never by the program. Column numbers and constants
 * come from a header that the script writes from the program's own modules (columns.h), so that none
 * is typed twice; names are theirs. Functions stand in the order of homeleg/flight/kernel.py, which
 * explains them; states at given times are left out.
 */

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "columns.h"

#define TWO_PI (2.0 * M_PI)
#define RHO0 ISA_SEA_LEVEL_DENSITY_KG_M3
#define G STANDARD_GRAVITY_M_S2

typedef double *restrict Out;
typedef const double *restrict In;

typedef struct {
    const double *legs, *plan, *cell_volts, *ground, *obstacles;
    int64_t leg_count, cell_nodes, ground_rows, ground_columns, obstacle_count;
} Surroundings;

static inline double least(double a, double b) { return b < a ? b : a; }
static inline double most(double a, double b) { return b > a ? b : a; }
static inline double wrap(double angle) { return angle - TWO_PI * floor((angle + M_PI) / TWO_PI); }
static inline double positive_mod(double a, double b) {
    const double rest = fmod(a, b);
    return rest < 0.0 ? rest + b : rest;
}

static double gust(uint64_t seed, uint64_t member, uint64_t node, uint64_t channel) {
    uint64_t x = seed * UINT64_C(0x9E3779B97F4A7C15);
    x ^= member * UINT64_C(0xBF58476D1CE4E5B9);
    x += (node * 3 + channel) * UINT64_C(0x94D049BB133111EB);
    x ^= x >> 30;
    x *= UINT64_C(0xBF58476D1CE4E5B9);
    x ^= x >> 27;
    x *= UINT64_C(0x94D049BB133111EB);
    x ^= x >> 31;
    const int64_t total = (x & 0xFFFF) + ((x >> 16) & 0xFFFF) + ((x >> 32) & 0xFFFF) + (x >> 48);
    return ((double)total - 131070.0) / 37837.22661;
}

static inline void wind_at(In wind, double top, double height, double *east, double *north) {
    const double place = sqrt(most(height, LOWEST_WIND_M) / top) * (WIND_NODES - 1);
    if (place >= WIND_NODES - 1) {
        *east = wind[WIND_NODES - 1];
        *north = wind[2 * WIND_NODES - 1];
        return;
    }
    const int node = (int)place;
    const double share = place - node;
    *east = wind[node] + share * (wind[node + 1] - wind[node]);
    *north = wind[WIND_NODES + node]
             + share * (wind[WIND_NODES + node + 1] - wind[WIND_NODES + node]);
}

static inline double ground_at(const Surroundings *s, double east, double north) {
    In plan = s->plan;
    if (east * east + north * north > plan[GROUND_RADIUS] * plan[GROUND_RADIUS]) return NAN;
    const double x = (east - plan[GROUND_EAST]) / plan[GROUND_SPACING];
    const double y = (north - plan[GROUND_NORTH]) / plan[GROUND_SPACING];
    const int64_t rows = s->ground_rows, columns = s->ground_columns;
    if (x < 0.0 || y < 0.0 || x > columns - 1 || y > rows - 1) return NAN;
    const int64_t i = (int64_t)x < columns - 2 ? (int64_t)x : columns - 2;
    const int64_t j = (int64_t)y < rows - 2 ? (int64_t)y : rows - 2;
    const double fx = x - i, fy = y - j;
    In g = s->ground + j * columns + i;
    return (1.0 - fy) * ((1.0 - fx) * g[0] + fx * g[1])
           + fy * ((1.0 - fx) * g[columns] + fx * g[columns + 1]);
}

static double disk_thrust(double power, double density, double area, double airspeed) {
    if (power <= 0.0) return 0.0;
    double thrust = pow(2.0 * density * area * power * power, 1.0 / 3.0);
    if (airspeed > 0.0) thrust = least(thrust, power / airspeed);
    for (int k = 0; k < 12; k++) {
        const double root = sqrt(0.25 * airspeed * airspeed + thrust / (2.0 * density * area));
        const double error = thrust * (0.5 * airspeed + root) - power;
        const double slope = 0.5 * airspeed + root + thrust / (4.0 * density * area * root);
        const double change = error / slope;
        thrust -= change;
        if (fabs(change) < 1e-9 * thrust) break;
    }
    return thrust;
}

static double heading_for_course(double course, double airspeed, double east, double north) {
    const double across = east * cos(course) - north * sin(course);
    return course - asin(least(1.0, most(-1.0, across / airspeed)));
}

static double turn_sign(double side, double in, double out, double east, double north) {
    if (side != 0.0) return side;
    const double change = wrap(out - in);
    if (fabs(change) < 175.0 * M_PI / 180.0) return change > 0.0 ? 1.0 : -1.0;
    return east * cos(in) - north * sin(in) > 0.0 ? -1.0 : 1.0;
}

static double corner_lead(double airspeed, double bank, double in, double out, double sign,
                          double wind_east, double wind_north) {
    const double heading_in = heading_for_course(in, airspeed, wind_east, wind_north);
    const double heading_out = heading_for_course(out, airspeed, wind_east, wind_north);
    const double turned = positive_mod(sign * (heading_out - heading_in), TWO_PI);
    const double crossing = sin(out - in);
    if (turned > 1.2 * FLY_OVER_TURN_RAD || fabs(crossing) < 1e-6) return -1.0;
    const double radius = airspeed * airspeed / (G * tan(bank));
    const double seconds = radius * turned / airspeed;
    const double east = sign * radius * (cos(heading_in) - cos(heading_out)) + wind_east * seconds;
    const double north = sign * radius * (sin(heading_out) - sin(heading_in)) + wind_north * seconds;
    const double lead = (north * sin(out) - east * cos(out)) / crossing;
    const double ground_speed =
        airspeed * cos(heading_in - in) + (wind_east * sin(in) + wind_north * cos(in));
    return lead + ground_speed * ROLL_LAG_S;
}

static inline void note(Out result, int place, double value, In state) {
    result[place] = value;
    result[place + 1] = state[LEG];
    result[place + 2] = state[TIME];
    result[place + 3] = state[EAST];
    result[place + 4] = state[NORTH];
    result[place + 5] = state[UP];
}

static double stall_speed(In member) {
    return sqrt(2.0 * member[MASS] * G / (RHO0 * member[WING_AREA] * member[MAXIMUM_LIFT]));
}

static double ground_roll(Out state, In member, In plan, double wind_east, double wind_north,
                          double *rolled) {
    const double heading = plan[RELEASE_HEADING];
    const double head_wind = -(wind_east * sin(heading) + wind_north * cos(heading));
    const double density = member[DENSITY];
    const double lift_off = 1.2 * stall_speed(member) * sqrt(RHO0 / density);
    double ground_speed = 0.0, seconds = 0.0;
    while (ground_speed + head_wind < lift_off && seconds < GROUND_ROLL_LIMIT_S) {
        const double airspeed = most(ground_speed + head_wind, 0.1);
        const double pull = 0.5 * density * airspeed * airspeed * member[WING_AREA];
        const double lift = pull * 0.5 * member[MAXIMUM_LIFT];
        const double from_least = 0.5 * member[MAXIMUM_LIFT] - member[LIFT_AT_LEAST_DRAG];
        const double drag =
            pull * (member[ZERO_LIFT_DRAG] + member[INDUCED_FACTOR] * (from_least * from_least));
        const double thrust = disk_thrust(member[DISK_EFFICIENCY] * member[FULL_POWER], density,
                                          member[DISK_AREA], airspeed);
        const double friction = ROLLING_FRICTION * most(member[MASS] * G - lift, 0.0);
        ground_speed += (thrust - drag - friction) / member[MASS] * STEP_S;
        ground_speed = most(ground_speed, 0.0);
        *rolled += ground_speed * STEP_S;
        seconds += STEP_S;
    }
    state[CHARGE] += member[FULL_POWER] * seconds / 3600.0 / (3.7 * plan[CELLS]);
    return ground_speed;
}

static double release(Out state, In member, In wind, In plan) {
    const double heading = plan[RELEASE_HEADING];
    double wind_east, wind_north, rolled = 0.0;
    wind_at(wind, plan[WIND_TOP], most(plan[RELEASE_HEIGHT], 2.0), &wind_east, &wind_north);
    double ground_speed = member[RELEASE_SPEED];
    if (plan[LAUNCH_KIND] == 1.0)
        ground_speed = ground_roll(state, member, plan, wind_east, wind_north, &rolled);
    const double east = ground_speed * sin(heading) - wind_east;
    const double north = ground_speed * cos(heading) - wind_north;
    state[EAST] = rolled * sin(heading);
    state[NORTH] = rolled * cos(heading);
    state[UP] = most(plan[RELEASE_HEIGHT], 0.1);
    state[TRUE_AIRSPEED] = most(hypot(east, north), 1.0);
    state[HEADING] = atan2(east, north);
    state[HEIGHT_DEMAND] = plan[RELEASE_HEIGHT];
    state[WIND_EAST] = wind_east;
    state[WIND_NORTH] = wind_north;
    state[LOAD] = 1.0;
    state[THRUST] = member[MASS] * G;
    state[STALL_EAS] = stall_speed(member);
    state[HEADING_SINE] = sin(state[HEADING]);
    state[HEADING_COSINE] = cos(state[HEADING]);
    state[PATH_COSINE] = state[BANK_COSINE] = 1.0;
    return rolled;
}

static void plan_corner(Out state, In member, const Surroundings *s, double east, double north) {
    const int64_t index = (int64_t)state[LEG];
    In leg = s->legs + index * LEG_COLUMNS;
    state[LEAD] = 0.0;
    if (leg[PASSES_OVER] == 1.0 || index + 1 >= s->leg_count) return;
    In after = leg + LEG_COLUMNS;
    if (after[KIND] == ORBIT) return;
    const double out =
        atan2(after[END_EAST] - leg[END_EAST], after[END_NORTH] - leg[END_NORTH]);
    if (fabs(wrap(out - state[COURSE])) > FLY_OVER_TURN_RAD) return;
    const double sign = turn_sign(after[SIDE], state[COURSE], out, east, north);
    const double airspeed = leg[AIRSPEED] * member[AIRSPEED_FACTOR] / state[ROOT_DENSITY_RATIO];
    const double lead = corner_lead(airspeed, leg[BANK], state[COURSE], out, sign, east, north);
    if (lead <= state[LENGTH]) state[LEAD] = most(lead, 0.0);
}

static void enter_orbit(Out state, In leg) {
    const double aside = leg[SIDE] * leg[RADIUS];
    const int direct = leg[DIRECT] == 1.0;
    state[TRACK_EAST] = direct ? state[EAST] + aside * cos(state[HEADING]) : leg[END_EAST];
    state[TRACK_NORTH] = direct ? state[NORTH] - aside * sin(state[HEADING]) : leg[END_NORTH];
    state[ORBIT_TURNED] = 0.0;
    state[ORBIT_BEARING] =
        atan2(state[EAST] - state[TRACK_EAST], state[NORTH] - state[TRACK_NORTH]);
    state[OVERFLIES] = 1.0;
}

static void enter_leg(Out state, In member, const Surroundings *s, In wind) {
    const int64_t index = (int64_t)state[LEG];
    In leg = s->legs + index * LEG_COLUMNS;
    state[TRACK_EAST] = leg[DIRECT] == 1.0 ? state[EAST] : leg[START_EAST];
    state[TRACK_NORTH] = leg[DIRECT] == 1.0 ? state[NORTH] : leg[START_NORTH];
    const double east = leg[END_EAST] - state[TRACK_EAST];
    const double north = leg[END_NORTH] - state[TRACK_NORTH];
    const int from_orbit = index > 0 && leg[KIND - LEG_COLUMNS] == ORBIT;
    const double course_in = from_orbit ? state[HEADING] : state[COURSE];
    state[LENGTH] = hypot(east, north);
    if (state[LENGTH] > 0.5) state[COURSE] = atan2(east, north);
    state[COURSE_SINE] = sin(state[COURSE]);
    state[COURSE_COSINE] = cos(state[COURSE]);
    state[LEG_SINCE] = state[TURN_SINCE] = state[TIME];
    state[TURN] = 0.0;
    if (index == 0 || leg[KIND] == ORBIT) state[HELD_AIRSPEED] = leg[AIRSPEED];
    if (leg[KIND] == ORBIT) {
        enter_orbit(state, leg);
        return;
    }
    double wind_east, wind_north;
    wind_at(wind, s->plan[WIND_TOP], leg[HEIGHT], &wind_east, &wind_north);
    if (index > 0) {
        const double heading =
            heading_for_course(state[COURSE], state[TRUE_AIRSPEED], wind_east, wind_north);
        if (fabs(wrap(heading - state[HEADING])) > LEAST_TURN_RAD)
            state[TURN] = turn_sign(leg[SIDE], course_in, state[COURSE], wind_east, wind_north);
        else
            state[HELD_AIRSPEED] = leg[AIRSPEED];
    }
    plan_corner(state, member, s, wind_east, wind_north);
}

static inline double to_go(In state, In leg) {
    return (leg[END_EAST] - state[EAST]) * state[COURSE_SINE]
           + (leg[END_NORTH] - state[NORTH]) * state[COURSE_COSINE];
}

static inline double indicated_height(In state, In member) {
    return state[UP] - member[BAROMETER_ERROR] * least(1.0, state[TIME] / DRIFTED_S);
}

static inline int has_climbed(In state, In leg, In member) {
    return indicated_height(state, member) >= leg[HEIGHT] - 1.0;
}

static inline int next_leg_due(In state, In leg, In member) {
    if (leg[KIND] == ORBIT) {
        if (leg[ORBIT_SECONDS] > 0.0) return state[TIME] - state[LEG_SINCE] >= leg[ORBIT_SECONDS];
        if (leg[ORBIT_TURNS] > 0.0) return state[ORBIT_TURNED] >= leg[ORBIT_TURNS] * TWO_PI;
        return has_climbed(state, leg, member);
    }
    if (leg[KIND] == FINAL) return 0;
    if (leg[KIND] == CLIMB_OUT && has_climbed(state, leg, member)) return 1;
    return to_go(state, leg) - state[LEAD] <= 0.5 * STEP_S * state[TRUE_AIRSPEED];
}

static inline void course_along_track(In state, In member, double closing, double *to_sine,
                                      double *to_cosine) {
    const double sine = state[COURSE_SINE], cosine = state[COURSE_COSINE];
    *to_sine = sine;
    *to_cosine = cosine;
    if (state[TURN] != 0.0 && state[OVERFLIES] == 0.0) return;
    const double off_track = (state[EAST] - state[TRACK_EAST]) * cosine
                             - (state[NORTH] - state[TRACK_NORTH]) * sine
                             - member[CROSS_TRACK_ERROR];
    const double slope = off_track / closing;
    const double along = 1.0 / sqrt(1.0 + slope * slope);
    *to_sine = (sine - cosine * slope) * along;
    *to_cosine = (cosine + sine * slope) * along;
}

static inline void course_round_orbit(In state, In member, In leg, double closing, double *to_sine,
                                      double *to_cosine) {
    const double east = state[EAST] - state[TRACK_EAST], north = state[NORTH] - state[TRACK_NORTH];
    const double from_centre = most(sqrt(east * east + north * north), 1e-6);
    const double slope = (from_centre - leg[RADIUS] - member[CROSS_TRACK_ERROR]) / closing;
    const double scale = 1.0 / (from_centre * sqrt(1.0 + slope * slope));
    *to_sine = (leg[SIDE] * north - east * slope) * scale;
    *to_cosine = (-leg[SIDE] * east - north * slope) * scale;
}

static inline double bank_demand(Out state, In member, In leg) {
    const double airspeed = state[TRUE_AIRSPEED];
    const double wind_east = state[WIND_EAST], wind_north = state[WIND_NORTH];
    const double closing = most(INTERCEPT_S * airspeed, 10.0);
    double sine, cosine;
    if (leg[KIND] == ORBIT)
        course_round_orbit(state, member, leg, closing, &sine, &cosine);
    else
        course_along_track(state, member, closing, &sine, &cosine);
    const double across = wind_east * cosine - wind_north * sine;
    const double crab_sine = -least(1.0, most(-1.0, across / airspeed));
    const double crab_cosine = sqrt(1.0 - crab_sine * crab_sine);
    const double heading_sine = sine * crab_cosine + cosine * crab_sine;
    const double heading_cosine = cosine * crab_cosine - sine * crab_sine;
    const double error =
        atan2(heading_sine * state[HEADING_COSINE] - heading_cosine * state[HEADING_SINE],
              heading_cosine * state[HEADING_COSINE] + heading_sine * state[HEADING_SINE]);
    if (state[TURN] != 0.0) {
        const double rate = G * fabs(state[BANK_SINE]) / (state[BANK_COSINE] * airspeed);
        double remaining = state[TURN] * error;
        if (remaining < 0.0) remaining += TWO_PI;
        if (rate * (ROLL_LAG_S + 0.5 * STEP_S) + 0.02 < remaining && remaining < TWO_PI - 0.5)
            return state[TURN] * leg[BANK];
        state[TURN] = 0.0;
        state[TURN_SINCE] = state[TIME];
        state[HELD_AIRSPEED] = leg[AIRSPEED];
    }
    double turning = airspeed * error * (1.0 / HEADING_LAG_S);
    if (leg[KIND] == ORBIT) {
        const double ground_speed =
            airspeed * crab_cosine + (wind_east * sine + wind_north * cosine);
        turning += leg[SIDE] * ground_speed * ground_speed / leg[RADIUS] * crab_cosine;
    }
    double steepest = leg[BANK];
    if (leg[KIND] == CLIMB_OUT && state[UP] < WINGS_LEVEL_BELOW_M)
        steepest = least(steepest, NEARLY_LEVEL_RAD);
    return least(steepest, most(-steepest, atan(turning * (1.0 / G))));
}

static inline double climb_demand(Out state, In member, In leg, In plan) {
    const double indicated = indicated_height(state, member);
    double planned = 0.0;
    if (leg[KIND] == FINAL) {
        const double ground_speed =
            state[TRUE_AIRSPEED]
            + (state[WIND_EAST] * state[COURSE_SINE] + state[WIND_NORTH] * state[COURSE_COSINE]);
        const double on_slope = leg[SLOPE] * to_go(state, leg);
        if (indicated >= on_slope) planned = -leg[SLOPE] * most(ground_speed, 0.0);
        state[HEIGHT_DEMAND] = least(on_slope, state[HEIGHT_DEMAND]);
    } else {
        const double before = state[HEIGHT_DEMAND];
        double change = leg[HEIGHT] - before;
        change = least(plan[CLIMB_RATE] * STEP_S, most(-plan[SINK_RATE] * STEP_S, change));
        state[HEIGHT_DEMAND] = least(before + change, indicated + 15.0);
        planned = (state[HEIGHT_DEMAND] - before) * (1.0 / STEP_S);
    }
    const double demand = planned + HEIGHT_GAIN_1_S * (state[HEIGHT_DEMAND] - indicated);
    const double fastest_sink = most(plan[SINK_RATE], -STEEPENED * planned);
    return least(plan[CLIMB_RATE], most(-fastest_sink, demand));
}

static inline double thrust_limit(In state, In member, In leg, In plan, double volts,
                                  double *power) {
    *power = 0.0;
    if (state[TIME] < member[MOTOR_DELAY]) return 0.0;
    const double sag_limited = plan[CUT_OFF] * (volts - plan[CUT_OFF]) / state[RESISTANCE];
    *power = least(member[FULL_POWER], most(sag_limited - member[AVIONICS_POWER], 0.0));
    double climbing = state[TRUE_AIRSPEED] * state[PATH_SINE] / plan[CLIMB_RATE];
    climbing = least(1.0, most(0.0, climbing));
    const double efficiency =
        member[EFFICIENCY] + climbing * (member[CLIMB_EFFICIENCY] - member[EFFICIENCY]);
    const double thrust = efficiency * *power / state[TRUE_AIRSPEED];
    if (leg[KIND] != CLIMB_OUT) return thrust;
    const double density = RHO0 * state[ROOT_DENSITY_RATIO] * state[ROOT_DENSITY_RATIO];
    return least(thrust, disk_thrust(member[DISK_EFFICIENCY] * *power, density, member[DISK_AREA],
                                     state[TRUE_AIRSPEED]));
}

static inline void fly_step(Out state, In member, In leg, In plan, double volts) {
    const double weight = member[MASS] * G;
    const double root = state[ROOT_DENSITY_RATIO];
    const double bank = bank_demand(state, member, leg);
    double demanded_eas = state[HELD_AIRSPEED] * member[AIRSPEED_FACTOR];
    if (leg[BY_PILOT] == 1.0) demanded_eas += member[PILOT_AIRSPEED_ERROR];
    const double airspeed = state[TRUE_AIRSPEED];
    const double in_gust = most(airspeed + state[GUST_U], 1.0);
    const double pull = 0.5 * RHO0 * root * root * in_gust * in_gust * member[WING_AREA];
    const double lift_coefficient = least(state[LOAD] * weight / pull, member[MAXIMUM_LIFT]);
    const double from_least = lift_coefficient - member[LIFT_AT_LEAST_DRAG];
    const double drag =
        pull * (member[ZERO_LIFT_DRAG] + member[INDUCED_FACTOR] * from_least * from_least);
    double most_power;
    const double most_thrust = thrust_limit(state, member, leg, plan, volts, &most_power);
    const double wanted = least(
        GREATEST_ACCELERATION_M_S2, most(-GREATEST_ACCELERATION_M_S2,
                                         (demanded_eas / root - airspeed) * (1.0 / SPEED_LAG_S)));
    const double stall = state[STALL_EAS] / root;
    const double floor_angle = airspeed > 1.1 * stall * sqrt(state[LOAD]) ? 0.0 : -0.15;
    const double spare =
        (most_thrust - drag - member[MASS] * least(most(wanted, 0.0), 0.5)) / weight;
    const double steepest = -(drag + member[MASS] * least(wanted, 0.0)) / weight;
    double path = climb_demand(state, member, leg, plan) / airspeed;
    path = most(least(path, most(spare, floor_angle)), steepest);
    path = asin(least(0.5, most(-0.5, path)));
    double thrust = drag + weight * state[PATH_SINE] + member[MASS] * wanted;
    if (state[FLYING] == 0.0) thrust = most_thrust;
    thrust = least(most_thrust, most(0.0, thrust));
    state[THRUST] += (thrust - state[THRUST]) * (STEP_S / POWER_LAG_S);
    state[THRUST] = least(state[THRUST], most_thrust);
    state[POWER] = most_thrust > 0.0 ? most_power * state[THRUST] / most_thrust : 0.0;

    state[BANKED] += (bank - state[BANKED]) * (STEP_S / ROLL_LAG_S);
    state[BANK_SINE] = sin(state[BANKED]);
    const double cos_bank = state[BANK_COSINE] = cos(state[BANKED]);
    const double cos_path = state[PATH_COSINE];
    const double pitch_rate = (path - state[PATH_ANGLE]) * (1.0 / CLIMB_LAG_S);
    double load = (cos_path + airspeed * pitch_rate * (1.0 / G)) / cos_bank;
    load = most(0.0, least(load, pull * member[MAXIMUM_LIFT] / weight));
    state[LOAD] = load;
    state[PATH_ANGLE] += G * (load * cos_bank - cos_path) / airspeed * STEP_S;
    state[PATH_SINE] = sin(state[PATH_ANGLE]);
    state[PATH_COSINE] = cos(state[PATH_ANGLE]);
    state[HEADING] += G * load * state[BANK_SINE] / (airspeed * cos_path) * STEP_S;
    const double along = (state[THRUST] - drag) / member[MASS] - G * state[PATH_SINE];
    state[TRUE_AIRSPEED] = most(airspeed + along * STEP_S, 1.0);
}

static inline double move(Out state, In wind, In plan) {
    double sine = 0.5 * state[HEADING_SINE], cosine = 0.5 * state[HEADING_COSINE];
    state[HEADING_SINE] = sin(state[HEADING]);
    state[HEADING_COSINE] = cos(state[HEADING]);
    sine += 0.5 * state[HEADING_SINE];
    cosine += 0.5 * state[HEADING_COSINE];
    const double level = state[TRUE_AIRSPEED] * state[PATH_COSINE];
    const double east = level * sine + state[WIND_EAST];
    const double north = level * cosine + state[WIND_NORTH];
    const double carried_east = -state[GUST_U] * sine + state[GUST_V] * cosine;
    const double carried_north = -state[GUST_U] * cosine - state[GUST_V] * sine;
    state[EAST] += (east + carried_east) * STEP_S;
    state[NORTH] += (north + carried_north) * STEP_S;
    state[UP] += (state[TRUE_AIRSPEED] * state[PATH_SINE] + state[GUST_W]) * STEP_S;
    double wind_east, wind_north;
    if (plan[LAUNCH_KIND] == 1.0 && state[TIME] < 5.0) state[UP] = most(state[UP], 0.1);
    wind_at(wind, plan[WIND_TOP], state[UP], &wind_east, &wind_north);
    state[TRUE_AIRSPEED] -= (wind_east - state[WIND_EAST]) * sine
                            + (wind_north - state[WIND_NORTH]) * cosine;
    state[TRUE_AIRSPEED] = most(state[TRUE_AIRSPEED], 1.0);
    state[WIND_EAST] = wind_east;
    state[WIND_NORTH] = wind_north;
    state[TIME] += STEP_S;
    return sqrt(east * east + north * north);
}

static inline double open_circuit_volts(In state, In member, const Surroundings *s) {
    const double full = least(1.0, most(0.0, 1.0 - state[CHARGE] / member[CAPACITY]));
    const double place = full * (s->cell_nodes - 1);
    const int64_t node = (int64_t)place < s->cell_nodes - 2 ? (int64_t)place : s->cell_nodes - 2;
    In cell = s->cell_volts + node;
    return s->plan[CELLS] * (cell[0] + (place - node) * (cell[1] - cell[0])) - state[RELAXATION];
}

static inline double drain(Out state, In member, double volts, double *energy) {
    const double power = state[POWER] + member[AVIONICS_POWER];
    const double resistance = state[RESISTANCE];
    const double inside = most(volts * volts - 4.0 * power * resistance, 0.0);
    const double current = (volts - sqrt(inside)) / (2.0 * resistance);
    state[CHARGE] += current * (STEP_S / 3600.0);
    const double slow_volts = current * resistance * RELAXATION_RESISTANCE_SHARE;
    state[RELAXATION] += (slow_volts - state[RELAXATION]) * (STEP_S / RELAXATION_TIME_S);
    *energy = power * STEP_S;
    return volts - current * resistance;
}

static inline void warm(Out state, In plan, double sag) {
    const double heat = sag * sag / state[RESISTANCE];
    const double capacity = plan[PACK_MASS] * SPECIFIC_HEAT_J_KG_K;
    const double cooling = (state[TEMPERATURE] - plan[OUTSIDE_AIR]) * (1.0 / COOLING_TIME_S);
    state[TEMPERATURE] += (heat / capacity - cooling) * STEP_S;
}

static void count_turns(Out state, In leg) {
    const double bearing =
        atan2(state[EAST] - state[TRACK_EAST], state[NORTH] - state[TRACK_NORTH]);
    state[ORBIT_TURNED] += leg[SIDE] * wrap(bearing - state[ORBIT_BEARING]);
    state[ORBIT_BEARING] = bearing;
}

static void at_node(Out state, In member, int64_t seed, int64_t number, int64_t node) {
    const double flown = -state[TRUE_AIRSPEED] * (NODE_STEPS * STEP_S);
    double kept = exp(flown / member[GUST_LENGTH_U]);
    double fresh = member[GUST_SIGMA_U] * sqrt(1.0 - kept * kept);
    state[GUST_U] = kept * state[GUST_U] + fresh * gust(seed, number, node, 0);
    state[GUST_V] = kept * state[GUST_V] + fresh * gust(seed, number, node, 1);
    kept = exp(flown / member[GUST_LENGTH_W]);
    fresh = member[GUST_SIGMA_W] * sqrt(1.0 - kept * kept);
    state[GUST_W] = kept * state[GUST_W] + fresh * gust(seed, number, node, 2);
    const double fitted = state[TEMPERATURE] - CELSIUS_ZERO_K + RESISTANCE_FIT_ZERO_K;
    const double reference = RESISTANCE_REFERENCE_C + RESISTANCE_FIT_ZERO_K;
    const double ratio = exp(RESISTANCE_FIT_B_K * (1.0 / fitted - 1.0 / reference));
    state[RESISTANCE] = member[RESISTANCE_25] * ratio;
}

static inline void read_launch(In state, In leg, Out result) {
    if (leg[KIND] != CLIMB_OUT || state[TIME] > LAUNCH_WATCH_S) return;
    if (state[FLYING] == 0.0 || state[PATH_ANGLE] <= 0.0)
        result[LAUNCH_LEAST_HEIGHT] = least(result[LAUNCH_LEAST_HEIGHT], state[UP]);
}

static inline void read_speeds(Out state, In member, In leg, Out result, double ground_speed) {
    const double eas = state[TRUE_AIRSPEED] * state[ROOT_DENSITY_RATIO];
    const double stall = state[STALL_EAS];
    const double demanded = leg[AIRSPEED] * member[AIRSPEED_FACTOR];
    const int settled = state[TURN] == 0.0
                        && (fabs(eas - demanded) < SETTLED_AIRSPEED_M_S
                            || state[TIME] - state[TURN_SINCE] > SETTLING_TIME_S);
    if (leg[ON_ROUTE] == 1.0) {
        const double wind = sqrt(state[WIND_EAST] * state[WIND_EAST]
                                 + state[WIND_NORTH] * state[WIND_NORTH]);
        const double ratio = wind * state[ROOT_DENSITY_RATIO] / leg[AIRSPEED];
        result[GREATEST_WIND_RATIO] = most(result[GREATEST_WIND_RATIO], ratio);
        if (settled && ground_speed < result[HEADWAY_PLACE])
            note(result, HEADWAY_PLACE, ground_speed, state);
    }
    if (state[FLYING] == 0.0 && eas >= 1.2 * stall) state[FLYING] = 1.0;
    if (state[GUST_READ] == 0.0
        && (state[LEG] > 0.0 || eas >= demanded - REACHED_AIRSPEED_M_S))
        state[GUST_READ] = 1.0;
    const double turn_stall = stall / sqrt(state[BANK_COSINE]);
    if (state[FLYING] == 1.0 && (state[TURN] != 0.0 || leg[KIND] == ORBIT)) {
        const double margin = eas / turn_stall;
        if (margin < result[TURN_PLACE]) note(result, TURN_PLACE, margin, state);
    }
    if (state[GUST_READ] == 1.0 && leg[KIND] != FINAL) {
        const double margin = (eas - 0.5 * member[GUST_SPREAD]) / turn_stall;
        if (margin < result[GUST_PLACE]) note(result, GUST_PLACE, margin, state);
    }
    const double gusty = eas + state[GUST_U] * state[ROOT_DENSITY_RATIO];
    if (state[FLYING] == 1.0 && gusty < turn_stall)
        state[STALL_SECONDS] += STEP_S;
    else
        state[STALL_SECONDS] = 0.0;
}

static inline double read_heights(In state, In member, In leg, const Surroundings *s, Out result,
                                  Out leg_result) {
    double below = ground_at(s, state[EAST], state[NORTH]);
    const double distance = sqrt(state[EAST] * state[EAST] + state[NORTH] * state[NORTH]);
    result[GREATEST_DISTANCE] = most(result[GREATEST_DISTANCE], distance);
    if (isnan(below)) {
        result[UNKNOWN_GROUND] += STEP_S;
        return NAN;
    }
    const double unsure =
        least(1.0, most(0.0, (distance - s->plan[KNOWN_GROUND]) / 100.0));
    below += member[GROUND_ERROR] * unsure;
    const double height = state[UP] - below;
    if (height > result[CEILING_PLACE]) note(result, CEILING_PLACE, height, state);
    double clear = height;
    for (int64_t k = 0; k < s->obstacle_count; k++) {
        In obstacle = s->obstacles + 4 * k;
        const double east = state[EAST] - obstacle[0], north = state[NORTH] - obstacle[1];
        if (east * east + north * north < obstacle[3] * obstacle[3])
            clear = least(clear, height - obstacle[2]);
    }
    leg_result[LEG_CLEARANCE] = least(leg_result[LEG_CLEARANCE], clear);
    if (leg[CLEARS_GROUND] == 1.0 && clear < result[GROUND_PLACE])
        note(result, GROUND_PLACE, clear, state);
    return clear;
}

static inline void read_leg(In state, In leg, Out leg_result, double ground_speed, double energy) {
    leg_result[LEG_TIME] += STEP_S;
    leg_result[LEG_ENERGY] += energy;
    if (state[TURN] != 0.0 || leg[KIND] != TRACK
        || state[TIME] - state[TURN_SINCE] <= SETTLED_AFTER_TURN_S)
        return;
    leg_result[LEG_STRAIGHT] += STEP_S;
    leg_result[LEG_GROUND_SPEED] += ground_speed * STEP_S;
    leg_result[LEG_CRAB] += fabs(wrap(state[HEADING] - state[COURSE])) * STEP_S;
}

static inline double event_now(Out state, In leg, In member, In plan, double clear, Out result) {
    if (leg[KIND] == FINAL && clear <= TOUCHDOWN_M)
        return state[TOUCHED] == 1.0 ? TOUCHED_GROUND : LANDED;
    if (clear <= 0.0) {
        if (leg[KIND] == CLIMB_OUT) return LOST_AT_LAUNCH;
        if (state[TOUCHED] == 0.0) note(result, EVENT_PLACE, TOUCHED_GROUND, state);
        state[TOUCHED] = 1.0;
    }
    const int flaring = leg[KIND] == FINAL && clear < FLARE_M;
    if (state[STALL_SECONDS] > STALL_TIME_S && !flaring) return STALLED;
    if (state[CHARGE] >= member[USABLE]) return state[TOUCHED] == 1.0 ? TOUCHED_GROUND : PACK_EMPTY;
    if (state[TIME] >= plan[TIME_LIMIT]) return state[TOUCHED] == 1.0 ? TOUCHED_GROUND : NOT_ARRIVED;
    return -1.0;
}

static void read_end(In state, In member, double event, int64_t legs, Out result,
                     Out leg_results) {
    result[EVENT] = event;
    if (state[TOUCHED] == 0.0) note(result, EVENT_PLACE, event, state);
    result[DURATION] = state[TIME];
    result[CHARGE_USED] = state[CHARGE];
    result[END_STATE_OF_CHARGE] = 1.0 - state[CHARGE] / member[CAPACITY];
    result[END_PACK_TEMPERATURE] = state[TEMPERATURE];
    result[END_RELAXATION] = state[RELAXATION];
    for (int64_t k = 0; k < legs; k++) {
        double *leg_result = leg_results + k * LEG_RESULT_COLUMNS;
        if (leg_result[LEG_STRAIGHT] > 0.0) {
            leg_result[LEG_GROUND_SPEED] /= leg_result[LEG_STRAIGHT];
            leg_result[LEG_CRAB] /= leg_result[LEG_STRAIGHT];
        }
    }
}

static void clear_results(const Surroundings *s, Out result, Out leg_results) {
    memset(result, 0, RESULT_COLUMNS * sizeof(double));
    memset(leg_results, 0, s->leg_count * LEG_RESULT_COLUMNS * sizeof(double));
    result[HEADWAY_PLACE] = result[TURN_PLACE] = result[GUST_PLACE] = INFINITY;
    result[GROUND_PLACE] = result[LEAST_VOLTS] = INFINITY;
    result[CEILING_PLACE] = -INFINITY;
    result[LAUNCH_LEAST_HEIGHT] = s->plan[RELEASE_HEIGHT];
    for (int64_t k = 0; k < s->leg_count; k++)
        leg_results[k * LEG_RESULT_COLUMNS + LEG_CLEARANCE] = INFINITY;
}

static void fly(int64_t seed, int64_t number, In member, In wind, const Surroundings *s, Out result,
                Out leg_results) {
    double state[STATE_COLUMNS] = {0.0};
    In plan = s->plan;
    state[CHARGE] = member[CHARGE_AT_START];
    state[TEMPERATURE] = member[PACK_TEMPERATURE];
    state[OVERFLIES] = 1.0;
    clear_results(s, result, leg_results);
    result[LIFT_OFF_DISTANCE] = release(state, member, wind, plan);
    state[ROOT_DENSITY_RATIO] = sqrt(member[DENSITY] / RHO0);
    enter_leg(state, member, s, wind);
    const double density_ratio = member[DENSITY] / RHO0;
    double event = -1.0;
    for (int64_t step = 0; event < 0.0; step++) {
        if (step % NODE_STEPS == 0) {
            at_node(state, member, seed, number, step / NODE_STEPS);
            const double thinner = 1.0 - plan[DENSITY_LAPSE] * state[UP];
            state[ROOT_DENSITY_RATIO] = sqrt(density_ratio * thinner);
        }
        In leg = s->legs + (int64_t)state[LEG] * LEG_COLUMNS;
        if (next_leg_due(state, leg, member)) {
            if (state[LEG] + 1.0 >= s->leg_count) {
                event = state[TOUCHED] == 1.0 ? TOUCHED_GROUND : NOT_ARRIVED;
                break;
            }
            state[OVERFLIES] = state[LEAD] == 0.0 ? 1.0 : 0.0;
            state[LEG] += 1.0;
            leg = s->legs + (int64_t)state[LEG] * LEG_COLUMNS;
            enter_leg(state, member, s, wind);
        }
        double *leg_result = leg_results + (int64_t)state[LEG] * LEG_RESULT_COLUMNS;
        const double volts = open_circuit_volts(state, member, s);
        fly_step(state, member, leg, plan, volts);
        const double ground_speed = move(state, wind, plan);
        double energy;
        const double loaded_volts = drain(state, member, volts, &energy);
        result[ENERGY] += energy;
        result[LEAST_VOLTS] = least(result[LEAST_VOLTS], loaded_volts);
        warm(state, plan, volts - loaded_volts);
        if (leg[KIND] == ORBIT) count_turns(state, leg);
        read_launch(state, leg, result);
        read_speeds(state, member, leg, result, ground_speed);
        const double clear = read_heights(state, member, leg, s, result, leg_result);
        read_leg(state, leg, leg_result, ground_speed, energy);
        event = event_now(state, leg, member, plan, clear, result);
    }
    read_end(state, member, event, s->leg_count, result, leg_results);
}

void fly_members(int64_t seed, int64_t count, const int64_t *numbers, const double *members,
                 const double *winds, const Surroundings *s, double *results,
                 double *leg_results) {
    for (int64_t i = 0; i < count; i++)
        fly(seed, numbers[i], members + i * MEMBER_COLUMNS, winds + i * 2 * WIND_NODES, s,
            results + i * RESULT_COLUMNS, leg_results + i * s->leg_count * LEG_RESULT_COLUMNS);
}
