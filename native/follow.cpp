#include <algorithm>
#include <array>
#include <climits>
#include <set>
#include <utility>

#include "looks.h"
#include "model.h"

namespace saywhy {

namespace {

// Inside a supposition only cells with so few digits are tried: the others seldom fail and cost the most.
constexpr int kNarrow = 3;
// What it costs to say that something is supposed, in steps.
constexpr int kOpening = 4;
// A contradiction of so many steps is short enough: no shorter one is looked for.
constexpr int kShort = 3;
// How many turns may be suppositions themselves.
constexpr int kNests = 2;

}  // namespace

int length(const std::vector<Turn>& turns) {
    std::set<int> lined;
    for (const Turn& turn : turns) {
        if (turn.kind != Turn::line) continue;
        for (const auto& [cell, mask] : turn.removed) lined.insert(cell);
    }
    int count = 0;
    for (const Turn& turn : turns) {
        count += length(turn.inner) + (turn.kind != Turn::place || !lined.contains(turn.cell));
    }
    return count;
}

Follower::Follower(Model& model, int stated, const std::vector<int>& houses) : model_(model), n_(model.digits()) {
    const std::lock_guard lock(model.guard_);
    const int cells = model.cells();
    watch_.resize(cells);
    sights_.resize(cells);
    stated = std::clamp(stated, 0, static_cast<int>(model.primitives_.size()));
    std::vector<std::set<int>> sights(cells);
    for (int id = 0; id < stated; ++id) {
        const Primitive& primitive = model.primitives_[id];
        if (primitive.kind != Kind::different) continue;
        for (const int a : primitive.cells) {
            for (const int b : primitive.cells) {
                if (a != b) sights[a].insert(b);
            }
        }
    }
    seen_.resize(cells);
    for (int cell = 0; cell < cells; ++cell) {
        sights_[cell].assign(sights[cell].begin(), sights[cell].end());
        for (const int other : sights_[cell]) seen_[cell].set(other);
    }
    for (int id = 0; id < stated; ++id) {
        const Primitive& primitive = model.primitives_[id];
        Unit unit{id, nullptr, {primitive.cells.begin(), primitive.cells.end()}, false};
        if (primitive.kind == Kind::different) {
            const bool whole = static_cast<int>(unit.cells.size()) == n_;
            if (!whole || std::ranges::find(houses, id) == houses.end()) continue;
            unit.house = true;
        } else {
            Seen seen = 0;
            for (int j = 0; j < std::min<int>(unit.cells.size(), kSeenPlaces); ++j) {
                for (int i = 0; i < j; ++i) {
                    if (sights[unit.cells[i]].contains(unit.cells[j])) seen |= Seen{1} << pair_bit(i, j);
                }
            }
            unit.propagator = model.propagator(primitive.shape, seen).propagator;
        }
        for (const int cell : unit.cells) watch_[cell].push_back(static_cast<int>(units_.size()));
        units_.push_back(std::move(unit));
    }
    queued_.resize(units_.size());
    fewer_.resize(units_.size());
    removed_at_.resize(static_cast<std::size_t>(cells) * kMostDigits);
}

void Follower::mark(int cell, Mask digits, int time) {
    for (unsigned left = digits; left != 0; left &= left - 1) removed_at_[cell * kMostDigits + lowest(left)] = time;
}

// Strikes digits out as a part of an event that is not kept yet. A cell's last digits stay: that nothing is left for it
// is noted when the event is kept.
void Follower::strike(Event& event, int cell, Mask digits) {
    digits &= now_[cell];
    if (digits == 0) return;
    if (digits == now_[cell]) {
        emptied_.emplace_back(cell, digits);
        return;
    }
    event.removed.emplace_back(cell, digits);
    mark(cell, digits, static_cast<int>(events_.size()));
    now_[cell] &= static_cast<Mask>(~digits);
    if (is_single(now_[cell])) singles_.push_back(cell);
    for (const int unit : watch_[cell]) {
        fewer_[unit] |= digits;
        if (!queued_[unit]) {
            queued_[unit] = true;
            queue_.push_back(unit);
        }
    }
}

// Keeps an event, and the contradictions that it ends in.
void Follower::keep(Event event) {
    if (event.removed.empty() && emptied_.empty()) return;
    events_.push_back(std::move(event));
    const int time = static_cast<int>(events_.size()) - 1;
    for (const auto& [cell, digits] : std::exchange(emptied_, {})) {
        events_[time].removed.emplace_back(cell, digits);
        mark(cell, digits, time);
        now_[cell] = 0;
        note({Turn::empty, -1, cell, 0});
        now_[cell] = digits;
        mark(cell, digits, -1);
        events_[time].removed.pop_back();
    }
}

// Keeps a contradiction if it is told in fewer steps than those met before.
void Follower::note(const Break& broke) {
    std::vector<Turn> turns = tell(broke);
    if (!broken_ || length(turns) < length(broken_->turns)) broken_ = Broken{std::move(turns), wanted_};
}

void Follower::see(int cell) {
    Event event{Event::seen, -1, cell, now_[cell], {}, {}, {}};
    for (const int other : sights_[cell]) strike(event, other, now_[cell]);
    keep(std::move(event));
}

void Follower::run_line(int number) {
    const Unit& unit = units_[number];
    std::array<Mask, kMostCells> held;
    for (std::size_t i = 0; i < unit.cells.size(); ++i) held[i] = now_[unit.cells[i]];
    if (!unit.propagator->filter(held.data())) return note({Turn::broken, number, -1, 0});
    Event event{Event::line, number, -1, 0, {}, {}, {}};
    for (std::size_t i = 0; i < unit.cells.size(); ++i) {
        strike(event, unit.cells[i], static_cast<Mask>(now_[unit.cells[i]] & ~held[i]));
    }
    keep(std::move(event));
}

void Follower::run_house(int number) {
    const Unit& unit = units_[number];
    unsigned once = 0, twice = 0;
    for (const int cell : unit.cells) {
        twice |= once & now_[cell];
        once |= now_[cell];
    }
    if (const unsigned missing = full_mask(n_) & ~once; missing != 0) {
        return note({Turn::homeless, number, -1, static_cast<Mask>(missing & -missing)});
    }
    for (const int cell : unit.cells) {
        const unsigned alone = now_[cell] & ~twice;
        if (alone == 0 || is_single(now_[cell])) continue;
        const Mask digit = static_cast<Mask>(alone & -alone);
        Event event{Event::alone, number, cell, digit, {}, {}, {}};
        strike(event, cell, static_cast<Mask>(~digit));
        keep(std::move(event));
    }
}

// Looks for digits of a house that strike out something wherever they stand: of those that have fewer places than
// before, and at most five.
void Follower::lock(int number) {
    const Unit& unit = units_[number];
    unsigned ones = 0, twos = 0, fours = 0, more = 0;  // the places of all digits counted side by side, in binary
    for (const int cell : unit.cells) {
        const unsigned held = now_[cell], carry = ones & held, next = twos & carry;
        ones ^= held;
        twos ^= carry;
        more |= fours & next;
        fours ^= next;
    }
    const unsigned few = ~more & ~(fours & twos) & (twos | fours);
    for (unsigned left = std::exchange(fewer_[number], 0) & few; left != 0; left &= left - 1) {
        const Mask digit = static_cast<Mask>(left & -left);
        Cells common;
        int first = -1;
        for (const int cell : unit.cells) {
            if (!(now_[cell] & digit)) continue;
            common = first >= 0 ? common & seen_[cell] : seen_[first = cell];
            if (common.none()) break;
        }
        if (common.none()) continue;
        Event event{Event::locked, number, -1, digit, {}, {}, {}};
        for (const int cell : sights_[first]) {
            if (common[cell]) strike(event, cell, digit);
        }
        keep(std::move(event));
    }
}

void Follower::begin(const std::vector<Mask>& domains) {
    base_ = now_ = domains;
    std::ranges::fill(removed_at_, -1);
    queued_.assign(units_.size(), false);
    std::ranges::fill(fewer_, 0);
    events_.clear();
    queue_.clear();
    singles_.clear();
}

void Follower::suppose(int cell, Mask digit) {
    Event supposed{Event::supposed, -1, cell, digit, {}, {}, {}};
    strike(supposed, cell, static_cast<Mask>(~digit));
    events_.push_back(std::move(supposed));  // even where it strikes nothing out: a story begins with it
}

// Follows until nothing more is shown (true) or something cannot be (false); then the shortest contradiction met, told
// down to the event `start`, is in broken_.
//
// In waves: a digit or mark is made use of in the wave after the one that gave it, so that what breaks soonest breaks
// first. Before, a single could run through the whole board while a row next to the supposition had lost its last
// place for something. A long contradiction gets one wave more, which often has a shorter one.
bool Follower::rest(int start, int waves) {
    start_ = start;
    broken_.reset();
    std::vector<int> singles, units;
    for (int more = 1; waves != 0; --waves) {
        singles.swap(singles_);
        singles_.clear();
        for (const int cell : singles) see(cell);
        units.swap(queue_);
        queue_.clear();
        std::ranges::stable_partition(units, [this](int unit) { return units_[unit].house; });
        for (const int unit : units) queued_[unit] = false;
        for (const int unit : units) units_[unit].house ? run_house(unit) : run_line(unit);
        for (const int unit : units) {
            if (units_[unit].house) lock(unit);
        }
        if (broken_ && (more-- == 0 || length(broken_->turns) <= kShort)) return false;
        if (units.empty() && singles_.empty()) break;
    }
    return !broken_;
}

// Takes back every event from this time on.
void Follower::undo(int time) {
    for (int t = static_cast<int>(events_.size()) - 1; t >= time; --t) {
        for (const auto& [cell, mask] : events_[t].removed) {
            now_[cell] |= mask;
            this->mark(cell, mask, -1);
        }
    }
    events_.resize(time);
    queued_.assign(units_.size(), false);
    std::ranges::fill(fewer_, 0);
    queue_.clear();
    singles_.clear();
}

// Tries digits of the cells with fewest inside a supposition at rest; true if one was struck out so, which is then
// an event, its consequences waiting.
bool Follower::nest(int depth) {
    const int start = static_cast<int>(events_.size());
    std::vector<int> cells;
    for (int cell = 0; cell < static_cast<int>(now_.size()); ++cell) {
        if (size_of(now_[cell]) > 1) cells.push_back(cell);
    }
    std::ranges::stable_sort(cells, {}, [this](int cell) { return size_of(now_[cell]); });
    std::optional<Event> best;
    int shortest = INT_MAX;
    for (const int cell : cells) {
        // Two digits left: striking out one places the other, which is nearly always what carries on.
        if (size_of(now_[cell]) > (best ? 2 : kNarrow)) break;
        for (unsigned left = now_[cell]; left != 0; left &= left - 1) {
            const Mask digit = static_cast<Mask>(left & -left);
            suppose(cell, digit);
            bool fine = rest(start);
            while (fine && depth > 1 && nest(depth - 1)) fine = rest(start);
            if (!fine && length(broken_->turns) < shortest) {
                shortest = length(broken_->turns);
                Event event{Event::nested, -1, cell, digit, {}, {}, std::move(broken_->turns)};
                for (int other = 0; other < static_cast<int>(now_.size()); ++other) {
                    if (const Mask wanted = broken_->wanted[other]; wanted != 0) event.premises.emplace_back(other, wanted);
                }
                best = std::move(event);
            }
            undo(start);
        }
    }
    if (!best) return false;
    const int cell = best->cell;
    strike(*best, cell, best->digits);
    keep(std::move(*best));
    return true;
}

std::optional<Story> Follower::follow(const std::vector<Mask>& domains, int cell, Mask digit, int depth, int waves) {
    begin(domains);
    suppose(cell, digit);
    if (singles_.empty()) singles_.push_back(cell);
    bool fine = rest(0, waves);
    for (int nests = 0; fine && nests < kNests && depth > 0 && nest(depth); ++nests) fine = rest(0);
    if (fine) return std::nullopt;
    return Story{cell, digit, std::move(broken_->turns)};
}

std::optional<Story> Follower::cheapest(const std::vector<Mask>& domains, int depth, int weighed, int longest, int widest) {
    std::vector<int> cells;
    for (int cell = 0; cell < static_cast<int>(domains.size()); ++cell) {
        if (size_of(domains[cell]) > 1) cells.push_back(cell);
    }
    std::ranges::stable_sort(cells, {}, [&](int cell) { return size_of(domains[cell]); });
    std::optional<Story> best;
    int steps = 0, opened = 0;  // of the best: its length with its opening, what it strikes out in all
    for (const int cell : cells) {
        if (size_of(domains[cell]) > widest) break;
        for (unsigned left = domains[cell]; left != 0 && weighed > 0; left &= left - 1) {
            auto story = follow(domains, cell, static_cast<Mask>(left & -left), depth, depth ? kAll : longest);
            if (!story) continue;
            --weighed;
            const int told = kOpening + length(story->turns);
            if (told > kOpening + longest) continue;
            const int gained = gain(domains, cell, story->digit);
            // Cross-multiplied: told / gained against steps / opened.
            const int here = told * opened, there = steps * gained;
            if (best && (here > there || (here == there && std::pair(best->cell, best->digit) < std::pair(cell, story->digit)))) {
                continue;
            }
            best = std::move(story);
            steps = told;
            opened = gained;
        }
    }
    return best;
}

int Follower::gain(const std::vector<Mask>& domains, int cell, Mask digits) {
    begin(domains);
    Event gone{Event::supposed, -1, cell, digits, {}, {}, {}};
    strike(gone, cell, digits);
    keep(std::move(gone));
    rest(0);
    int count = 0;
    for (std::size_t i = 0; i < now_.size(); ++i) count += size_of(static_cast<Mask>(domains[i] & ~now_[i]));
    return count;
}

Mask Follower::at(int cell, int time) const {
    Mask left = now_[cell];
    for (unsigned gone = base_[cell] & ~now_[cell]; gone != 0; gone &= gone - 1) {
        if (removed_at_[cell * kMostDigits + lowest(gone)] >= time) left |= static_cast<Mask>(gone & -gone);
    }
    return left;
}

// Wants what a line needs to strike out its targets (all of them; none: to break), cut down cell by cell, then digit
// by digit.
void Follower::want_line(int number, int time, const std::vector<std::pair<int, Mask>>& targets) {
    const Unit& unit = units_[number];
    const std::size_t count = unit.cells.size();
    std::array<Mask, kMostCells> held, tried;
    for (std::size_t i = 0; i < count; ++i) held[i] = at(unit.cells[i], time);
    const auto follows = [&] {
        std::copy_n(held.begin(), count, tried.begin());
        if (!unit.propagator->filter(tried.data())) return true;
        if (targets.empty()) return false;
        return std::ranges::all_of(targets, [&](const auto& target) {
            for (std::size_t i = 0; i < count; ++i) {
                if (unit.cells[i] == target.first && (tried[i] & target.second)) return false;
            }
            return true;
        });
    };
    const auto relax = [&](std::size_t i, Mask digits) {
        const Mask before = held[i];
        held[i] |= digits;
        if (held[i] != before && !follows()) held[i] = before;
    };
    for (std::size_t i = 0; i < count; ++i) relax(i, base_[unit.cells[i]]);
    for (std::size_t i = 0; i < count; ++i) {
        for (unsigned left = base_[unit.cells[i]] & ~held[i]; left != 0; left &= left - 1) {
            relax(i, static_cast<Mask>(left & -left));
        }
    }
    for (std::size_t i = 0; i < count; ++i) want(unit.cells[i], static_cast<Mask>(~held[i]));
}

// Tells a contradiction backwards down to the event start_, which supposed a digit; what is wanted of earlier
// times is left in wanted_.
std::vector<Turn> Follower::tell(const Break& broke) {
    wanted_.assign(base_.size(), 0);
    std::vector<int> standing(base_.size(), -1);  // when it first matters that a single stands in a cell
    const int end = static_cast<int>(events_.size());
    Turn last{broke.kind, broke.unit < 0 ? -1 : units_[broke.unit].primitive, broke.cell, broke.digits, {}, {}};
    if (broke.kind == Turn::empty) {
        want(broke.cell, full_mask(n_));
    } else if (broke.kind == Turn::homeless) {
        for (const int other : units_[broke.unit].cells) want(other, broke.digits);
    } else {
        want_line(broke.unit, end, {});
    }
    std::vector<std::pair<int, Turn>> turns;
    for (int time = end - 1; time > start_; --time) {
        const Event& event = events_[time];
        std::vector<std::pair<int, Mask>> targets;
        for (const auto& [where, mask] : event.removed) {
            if (const Mask hit = wanted_[where] & mask; hit != 0) targets.emplace_back(where, hit);
        }
        if (targets.empty()) continue;
        for (const auto& [where, hit] : targets) wanted_[where] &= static_cast<Mask>(~hit);
        if (event.kind == Event::seen) {
            want(event.cell, static_cast<Mask>(~event.digits));
            standing[event.cell] = time;
        } else if (event.kind == Event::alone) {
            for (const int other : units_[event.unit].cells) {
                if (other != event.cell) want(other, event.digits);
            }
            turns.emplace_back(time, Turn{Turn::alone, units_[event.unit].primitive, event.cell, event.digits, {}, {}});
        } else if (event.kind == Event::locked) {
            for (const int other : units_[event.unit].cells) want(other, static_cast<Mask>(event.digits & ~at(other, time)));
            turns.emplace_back(time, Turn{Turn::locked, units_[event.unit].primitive, -1, event.digits, std::move(targets), {}});
        } else if (event.kind == Event::nested) {
            for (const auto& [where, mask] : event.premises) want(where, mask);
            turns.emplace_back(time, Turn{Turn::nested, -1, event.cell, event.digits, std::move(targets), event.inner});
        } else {
            want_line(event.unit, time, targets);
            turns.emplace_back(time, Turn{Turn::line, units_[event.unit].primitive, -1, 0, std::move(targets), {}});
        }
    }
    const Event& supposed = events_[start_];
    wanted_[supposed.cell] = 0;
    for (int where = 0; where < static_cast<int>(standing.size()); ++where) {
        const int time = standing[where];
        if (time < 0 || where == supposed.cell || is_single(base_[where])) continue;
        const auto by_house = [where](const auto& turn) { return turn.second.kind == Turn::alone && turn.second.cell == where; };
        if (std::ranges::none_of(turns, by_house)) {
            turns.emplace_back(time, Turn{Turn::place, -1, where, events_[time].digits, {}, {}});
        }
    }
    std::ranges::stable_sort(turns, {}, [](const auto& turn) { return turn.first; });
    std::vector<Turn> told;
    for (auto& [time, turn] : turns) told.push_back(std::move(turn));
    told.push_back(std::move(last));
    return told;
}

}  // namespace saywhy
