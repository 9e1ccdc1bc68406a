/* Works the rows of a plan through, one after the other, as side_by_side.py does for all at once.

   The two give the same figures to within rounding; tests/unit/test_plan_compiled.py holds them against each
   other. Here the chances of the steps are not summed up anew after each step: only the few sets that hold the
   cause of the step change, and what is left of such a set mostly gives the same to most chances. What it gives
   differently is much the same for all sets that hold a cause: it is listed for one of them, and of the others by
   what they differ from that. Mass that is gone is taken from the empty set, after it went there like all other.

   Sizes: S sets, C causes, M steps, T checks and accesses that several steps share, P histories. A row of `chances` and
   `value` has 2M + 2 columns: of each step the chance that it finds its cause, of each the chance that its
   checks speak for it, the mass, the cost of handing over. A row of `prices` has 3M: of each step what its
   beginning costs (infinite where it does not fit), what is due once the cause is shown, and the mending. */

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#ifdef _WIN32
#define EXPORT __declspec(dllexport)
#else
#define EXPORT
#endif

/* Where the loader can choose, machines with wider registers use them; the figures are the same to the last bit. */
#if defined(__x86_64__) && defined(__gnu_linux__) && defined(__GNUC__) && !defined(__clang__)
#define WIDE __attribute__((target_clones("avx2", "default")))
#else
#define WIDE
#endif

/* The digest of this text, given when it is compiled: whoever loads the library knows what it was made from. */
#ifndef SOURCE
#define SOURCE "unknown"
#endif
EXPORT const char *source(void) { return SOURCE; }

struct plan {
    int64_t sets, steps, shared, longest, causes;
    double remnant, nothing, same;
    const double *value;        /* (S, 2M + 2) what a unit of mass in a set gives to the chances; the empty set first */
    const int64_t *cause;       /* (M,) which of the C causes each step mends */
    const int64_t *held_from;   /* (M + 1,) where the sets that each step takes mass from begin in the next three */
    const int64_t *held;        /* (K,) the set */
    const int64_t *goal;        /* (K,) what is left of it, or -1 */
    const double *share;        /* (K,) the share of its mass that the step mends where it ends in proof */
    const double *slope, *level; /* (M,) soundness of a step by the confidence that it ends with */
    const int64_t *barred_from, *barred; /* (M + 1,), (B,) the steps that each ends */
    const uint8_t *takes;       /* (M, T) what each makes or opens that others share */
    const double *saved;        /* (T, 3M) by how much that makes each price less */
};

/* What moving a unit of mass changes: entries `from` to `to` of the columns. */
struct change {
    int64_t from, to; /* from < 0 before it is listed */
};

/* The changes listed so far: of each, in which column and by how much. */
struct list {
    struct change *usual; /* (C,) what mending each cause changes, in one of the sets that hold it */
    struct change *other; /* (C, S) by how much more it changes that in each set */
    double *whole;        /* (C, 2M + 2) the usual change in full */
    int32_t *column;
    double *amount;
    int64_t used, room;
};

static double between(double low, double x, double high) { return x < low ? low : x > high ? high : x; }

/* Return the best step, or -1 where none gains anything; `sound`, `work` and `score` (M,) are filled. What is no
   number, where next to nothing is divided by next to nothing, is no score. */
WIDE static int64_t best_step(const struct plan *p, const double *restrict chances, const double *restrict prices,
                         double *restrict sound, double *restrict work, double *restrict score)
{
    const int64_t m = p->steps;
    const double *restrict gain = chances, *restrict shown = chances + m, mass = chances[2 * m];
    const double *restrict start = prices, *restrict once_shown = prices + m, *restrict mending = prices + 2 * m;
    const double *restrict slope = p->slope, *restrict level = p->level;
    for (int64_t n = 0; n < m; n++) {
        sound[n] = between(0.0, gain[n] / shown[n] * slope[n] + level[n], 1.0);
        work[n] = mass * start[n] + shown[n] * once_shown[n];
        score[n] = sound[n] * gain[n] / ((shown[n] - gain[n]) * mending[n] * sound[n] + work[n]);
    }
    int64_t best = -1;
    double most = p->nothing;
    for (int64_t n = 0; n < m; n++)
        if (score[n] > most) {
            best = n;
            most = score[n];
        }
    return best;
}

/* Make room for one more change. Returns 0, or 1 where there is no memory. */
static int make_room(struct list *list, int64_t wide)
{
    if (list->used + wide <= list->room)
        return 0;
    const int64_t room = 2 * list->room + wide;
    int32_t *column = realloc(list->column, sizeof(int32_t) * (size_t)room);
    if (column)
        list->column = column;
    double *amount = realloc(list->amount, sizeof(double) * (size_t)room);
    if (amount)
        list->amount = amount;
    list->room = column && amount ? room : list->room;
    return !column || !amount;
}

/* List what moving mass by way `k` changes: beyond what is `usual`, or that itself into `whole` where `usual` is
   NULL. Returns 0, or 1 where there is no memory. */
static int list_change(const struct plan *p, struct list *list, struct change *change, int64_t k,
                       const double *usual, double *whole)
{
    const int64_t wide = 2 * p->steps + 2;
    if (make_room(list, wide))
        return 1;
    const double *from = p->value + p->held[k] * wide;
    const double *to = p->value + (p->goal[k] < 0 ? 0 : p->goal[k]) * wide;
    change->from = list->used;
    for (int64_t n = 0; n < wide; n++) {
        const double by = to[n] - from[n] - (usual ? usual[n] : 0.0);
        if (whole)
            whole[n] = by;
        if (fabs(by) > p->same) {
            list->column[list->used] = (int32_t)n;
            list->amount[list->used++] = by;
        }
    }
    change->to = list->used;
    return 0;
}

/* Change the chances as moving so much mass does. */
static void apply(const struct list *list, const struct change *change, double moved, double *chances)
{
    for (int64_t n = change->from; n < change->to; n++)
        chances[list->column[n]] += moved * list->amount[n];
}

/* Move the mass that a step mends to what is left of each set, and make what it shares with others cheaper.
   Returns 0, or 1 where there is no memory. */
static int take(const struct plan *p, struct list *list, int64_t step, double sound, double *weight,
                double *chances, double *prices, uint8_t *shut)
{
    const int64_t m = p->steps, cause = p->cause[step];
    struct change *usual = list->usual + cause, *other = list->other + cause * p->sets;
    double *whole = list->whole + cause * (2 * m + 2), all = 0.0, gone = 0.0;
    for (int64_t k = p->held_from[step]; k < p->held_from[step + 1]; k++) {
        const double moved = p->share[k] * weight[p->held[k]] * sound;
        if (moved == 0.0)
            continue;
        if (usual->from < 0 && list_change(p, list, usual, k, NULL, whole))
            return 1;
        struct change *own = other + p->held[k];
        if (own->from < 0 && list_change(p, list, own, k, whole, NULL))
            return 1;
        weight[p->held[k]] -= moved;
        all += moved;
        if (p->goal[k] >= 0)
            weight[p->goal[k]] += moved;
        else
            gone += moved;
        apply(list, own, moved, chances);
    }
    if (all != 0.0)
        apply(list, usual, all, chances);
    for (int64_t n = m; n < 2 * m + 2; n++)
        chances[n] -= gone * p->value[n];
    for (int64_t t = 0; t < p->shared; t++)
        if (shut[t] && p->takes[step * p->shared + t]) {
            const double *saved = p->saved + t * 3 * m;
            for (int64_t n = 0; n < 3 * m; n++)
                prices[n] -= saved[n];
            shut[t] = 0;
        }
    for (int64_t b = p->barred_from[step]; b < p->barred_from[step + 1]; b++)
        prices[p->barred[b]] = INFINITY;
    return 0;
}

/* Work one row through; `prices` and `shut` are its own, `scratch` (3M,) is room to work in.
   Returns 0, or 1 where there is no memory. */
static int work_through(const struct plan *p, struct list *list, double *weight, double *chances, double *prices,
                        uint8_t *shut, double *scratch, double *best, int64_t *first)
{
    const int64_t m = p->steps;
    double *sound = scratch, *work = sound + m, *score = work + m, spent = 0.0;
    const double enough = p->remnant * chances[2 * m];
    *best = chances[2 * m + 1];
    *first = -1;
    for (int64_t taken = 0; taken < p->longest && chances[2 * m] > enough; taken++) {
        const int64_t step = best_step(p, chances, prices, sound, work, score);
        if (step < 0)
            break;
        if (!taken)
            *first = step;
        spent += work[step] + sound[step] * chances[m + step] * prices[2 * m + step];
        if (take(p, list, step, sound[step], weight, chances, prices, shut))
            return 1;
        if (spent + chances[2 * m + 1] < *best)
            *best = spent + chances[2 * m + 1];
    }
    return 0;
}

/* Work `rows` plans through. `weight` (rows, S) are their masses; `chances` (rows, 2M + 2) are used up; `prices`
   (P, 3M) and `shut` (P, T) are those of each `history` (rows,) and `fits` (rows, M) says which steps fit each row.
   `best` (rows,) becomes the least cost of following the plan up to any point and handing over there, `first`
   (rows,) the first step or -1. Returns 0, or 1 where there is no memory. */
EXPORT int follow(const struct plan *p, int64_t rows, const double *weight, double *chances, const int64_t *history,
                  const double *prices, const uint8_t *shut, const uint8_t *fits, double *best, int64_t *first)
{
    const int64_t m = p->steps, ways = p->causes * p->sets;
    struct list list = {malloc(sizeof(struct change) * (size_t)(p->causes + 1)),
                        malloc(sizeof(struct change) * (size_t)(ways + 1)),
                        malloc(sizeof(double) * (size_t)(p->causes * (2 * m + 2) + 1)), NULL, NULL, 0, 0};
    double *own = malloc(sizeof(double) * (size_t)(6 * m + p->sets + 1)), *mass = own ? own + 6 * m : NULL;
    uint8_t *left = malloc((size_t)(p->shared + 1));
    int failed = !list.usual || !list.other || !list.whole || !own || !left;
    for (int64_t k = 0; !failed && k < p->causes; k++)
        list.usual[k].from = -1;
    for (int64_t k = 0; !failed && k < ways; k++)
        list.other[k].from = -1;
    for (int64_t row = 0; !failed && row < rows; row++) {
        memcpy(own, prices + history[row] * 3 * m, sizeof(double) * (size_t)(3 * m));
        memcpy(mass, weight + row * p->sets, sizeof(double) * (size_t)p->sets);
        memcpy(left, shut + history[row] * p->shared, (size_t)p->shared);
        for (int64_t n = 0; n < m; n++)
            if (!fits[row * m + n])
                own[n] = INFINITY;
        failed = work_through(p, &list, mass, chances + row * (2 * m + 2), own, left, own + 3 * m, best + row,
                              first + row);
    }
    free(list.usual);
    free(list.other);
    free(list.whole);
    free(list.column);
    free(list.amount);
    free(own);
    free(left);
    return failed;
}
