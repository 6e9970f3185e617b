#include "model.h"

#include <algorithm>
#include <array>
#include <stdexcept>
#include <string>

#include "count.h"
#include "derived.h"
#include "family.h"
#include "linear.h"
#include "pair.h"
#include "regular.h"
#include "space.h"
#include "table.h"

namespace saywhy {

namespace {

[[noreturn]] void refuse(const std::string& what) { throw std::invalid_argument(what); }

// Longer lines have too many fillings for a table, or are not worth the listing.
constexpr int kTableArity = 6;
// Shorter ones are listed at once.
constexpr int kLightArity = 3;
// How many ways to order so many digits.
constexpr std::array<std::size_t, kTableArity + 1> kOrders = {1, 1, 2, 6, 24, 120, 720};
// A table for the sets of a family takes less time than going through the sets up to so many fillings; of these, so
// many are listed at once.
constexpr std::size_t kFamilyTable = 2048, kLightTable = 320;

}  // namespace

Model::Model(int n, int cells) : n_(n), cells_(cells) {
    if (n < 1 || n > kMostDigits) refuse("digits: 1 to 16 expected, " + std::to_string(n) + " came");
    if (cells < 1 || cells > kMostCells) refuse("cells: 1 to 256 expected, " + std::to_string(cells) + " came");
}

Model::~Model() = default;

int Model::size() const {
    const std::lock_guard lock(guard_);
    return static_cast<int>(primitives_.size());
}

std::vector<std::uint16_t> Model::checked(const std::vector<int>& cells, bool repeats) const {
    std::vector<bool> met(cells_, false);
    std::vector<std::uint16_t> good;
    if (cells.empty()) refuse("cells: at least one expected, none came");
    if (cells.size() > static_cast<std::size_t>(kMostCells)) refuse("cells: at most 256 expected");
    for (const int cell : cells) {
        if (cell < 0 || cell >= cells_) {
            refuse("cells: 0 to " + std::to_string(cells_ - 1) + " expected, " + std::to_string(cell) + " came");
        }
        if (met[cell] && !repeats) refuse("cells: different ones expected, " + std::to_string(cell) + " came twice");
        met[cell] = true;
        good.push_back(static_cast<std::uint16_t>(cell));
    }
    return good;
}

int Model::shape_number(Shape shape) {
    std::vector<long long> key{static_cast<long long>(shape.kind), shape.arity, shape.total};
    key.insert(key.end(), shape.numbers.begin(), shape.numbers.end());
    key.insert(key.end(), shape.accepting.begin(), shape.accepting.end());
    const auto [found, fresh] = shape_numbers_.emplace(std::move(key), static_cast<int>(shapes_.size()));
    if (fresh) {
        shapes_.push_back(std::move(shape));
        choices_.emplace_back();
    }
    return found->second;
}

int Model::add(Kind kind, std::vector<std::uint16_t> cells, Shape shape) {
    const std::lock_guard lock(guard_);
    const int number = kind == Kind::different ? -1 : shape_number(std::move(shape));
    primitives_.push_back({kind, number, std::move(cells)});
    return static_cast<int>(primitives_.size()) - 1;
}

void Model::derive() {
    if (derived_known_) return;
    derived_known_ = true;
    std::vector<std::vector<std::uint16_t>> houses;
    std::vector<Sum> sums;
    const std::size_t count = closed_at_ < 0 ? primitives_.size() : closed_at_;
    for (std::size_t id = 0; id < count; ++id) {
        const Primitive& primitive = primitives_[id];
        if (primitive.kind == Kind::different && static_cast<int>(primitive.cells.size()) == n_) {
            houses.push_back(primitive.cells);
        } else if (primitive.kind == Kind::linear) {
            const Shape& shape = shapes_[primitive.shape];
            if (std::ranges::any_of(shape.numbers, [](int c) { return c != 1; })) continue;
            sums.push_back({shape.numbers, {primitive.cells.begin(), primitive.cells.end()}, shape.total});
        }
    }
    for (Sum& sum : derived_sums(n_, houses, sums)) {
        const int arity = static_cast<int>(sum.cells.size());
        const int number = shape_number({Kind::linear, arity, std::move(sum.coefficients), {}, sum.total});
        derived_.push_back({Kind::linear, number, {sum.cells.begin(), sum.cells.end()}});
    }
}

int Model::add_different(const std::vector<int>& cells) {
    return add(Kind::different, checked(cells, false), {});
}

int Model::add_linear(const std::vector<int>& coefficients, const std::vector<int>& cells, long long total) {
    auto good = checked(cells, false);
    if (coefficients.size() != cells.size()) refuse("coefficients: as many as cells expected");
    long long most = 0;
    for (const int c : coefficients) {
        if (c == 0) refuse("coefficients: none may be 0");
        most += std::llabs(c) * (n_ - 1);
    }
    if (most > kMostSum) refuse("coefficients: too large, the sum could reach " + std::to_string(most));
    Shape shape{Kind::linear, static_cast<int>(good.size()), coefficients, {}, std::clamp(total, -4 * kMostSum, 4 * kMostSum)};
    return add(Kind::linear, std::move(good), std::move(shape));
}

int Model::add_pair(int a, int b, const std::vector<int>& table) {
    auto good = checked({a, b}, false);
    if (table.size() != static_cast<std::size_t>(n_)) refuse("table: one mask a digit expected");
    for (const int mask : table) {
        if (mask < 0 || mask > full_mask(n_)) refuse("table: masks of digits 1 to n expected");
    }
    return add(Kind::pair, std::move(good), Shape{Kind::pair, 2, table, {}, 0});
}

int Model::add_regular(const std::vector<int>& cells, const std::vector<int>& moves, const std::vector<int>& accepting) {
    auto good = checked(cells, true);
    const std::size_t states = moves.size() / n_;
    if (states == 0 || moves.size() != states * n_) refuse("automaton: n moves a state expected");
    if (states > 65534) refuse("automaton: at most 65534 states expected");
    for (const int to : moves) {
        if (to < -1 || to >= static_cast<int>(states)) refuse("automaton: a move leads to no state");
    }
    Shape shape{Kind::regular, static_cast<int>(good.size()), moves, std::vector<bool>(states, false), 0};
    for (const int state : accepting) {
        if (state < 0 || state >= static_cast<int>(states)) refuse("automaton: an accepting state is no state");
        shape.accepting[state] = true;
    }
    return add(Kind::regular, std::move(good), std::move(shape));
}

int Model::add_count(const std::vector<int>& cells) {
    auto good = checked(cells, false);
    Shape shape{Kind::count, static_cast<int>(good.size()), {}, {}, 0};
    return add(Kind::count, std::move(good), std::move(shape));
}

void Model::close() {
    const std::lock_guard lock(guard_);
    if (closed_at_ < 0) closed_at_ = static_cast<int>(primitives_.size());
}

std::vector<bool> Model::satisfied(const std::vector<int>& filling) {
    if (filling.size() != static_cast<std::size_t>(cells_)) refuse("filling: one digit a cell expected");
    for (const int digit : filling) {
        if (digit < 1 || digit > n_) refuse("filling: digits 1 to n expected");
    }
    const std::lock_guard lock(guard_);
    std::vector<bool> holds;
    for (const Primitive& primitive : primitives_) {
        std::vector<Mask> held;
        for (const int cell : primitive.cells) held.push_back(static_cast<Mask>(1u << (filling[cell] - 1)));
        if (primitive.kind == Kind::different) {
            Mask met = 0;
            for (const Mask digit : held) met |= digit;
            holds.push_back(size_of(met) == static_cast<int>(held.size()));
        } else {
            holds.push_back(propagator(primitive.shape, 0).propagator->filter(held.data()));
        }
    }
    return holds;
}

std::vector<int> Model::touched(const std::vector<int>& primitives) const {
    const std::lock_guard lock(guard_);
    std::vector<int> cells;
    for (const int id : primitives) {
        if (id < 0 || id >= static_cast<int>(primitives_.size())) {
            refuse("primitives: there is no primitive " + std::to_string(id));
        }
        cells.insert(cells.end(), primitives_[id].cells.begin(), primitives_[id].cells.end());
    }
    std::ranges::sort(cells);
    cells.erase(std::ranges::unique(cells).begin(), cells.end());
    return cells;
}

// The relation that a primitive on two cells comes down to; nothing for others.
std::optional<std::vector<Mask>> Model::relation_of(int n, const Shape& shape) {
    if (shape.arity != 2) return std::nullopt;
    if (shape.kind == Kind::pair) return std::vector<Mask>(shape.numbers.begin(), shape.numbers.end());
    std::vector<Mask> allowed(n, 0);
    for (int x = 0; x < n; ++x) {
        for (int y = 0; y < n; ++y) {
            bool fine = false;
            if (shape.kind == Kind::linear) {
                fine = static_cast<long long>(shape.numbers[0]) * (x + 1) + static_cast<long long>(shape.numbers[1]) * (y + 1) ==
                       shape.total;
            } else if (shape.kind == Kind::regular) {
                const int middle = shape.numbers[x];
                const int end = middle < 0 ? -1 : shape.numbers[static_cast<std::size_t>(middle) * n + y];
                fine = end >= 0 && shape.accepting[end];
            } else {
                return std::nullopt;
            }
            if (fine) allowed[x] |= static_cast<Mask>(1u << y);
        }
    }
    return allowed;
}

// The sets of digits that a primitive on cells which all see each other comes down to; nothing if it does not, or
// if there are too many sets to go through.
std::optional<std::vector<Mask>> Model::family_of(int n, const Shape& shape, Seen seen) {
    if (!(seen & kClique) || n > kMostSetDigits || shape.arity > n) return std::nullopt;
    const bool linear = shape.kind == Kind::linear;
    if (!linear && shape.kind != Kind::regular) return std::nullopt;
    const int states = static_cast<int>(shape.accepting.size());
    const auto move = [&](int state, int digit) { return state < 0 ? -1 : shape.numbers[static_cast<std::size_t>(state) * n + digit]; };
    if (linear) {
        for (const int c : shape.numbers) {
            if (c != shape.numbers[0]) return std::nullopt;
        }
    } else {
        // Only an automaton that does not care in which order it reads two different digits.
        for (int state = 0; state < states; ++state) {
            for (int a = 0; a < n; ++a) {
                for (int b = 0; b < a; ++b) {
                    if (move(move(state, a), b) != move(move(state, b), a)) return std::nullopt;
                }
            }
        }
    }
    std::vector<Mask> sets;
    // From one set of so many digits to the next (Gosper's hack).
    for (unsigned set = (1u << shape.arity) - 1; set < 1u << n;) {
        long long sum = 0;
        int state = 0;
        for (unsigned left = set; left; left &= left - 1) {
            if (linear) {
                sum += lowest(left) + 1;
            } else {
                state = move(state, lowest(left));
            }
        }
        if (linear ? sum * shape.numbers[0] == shape.total : state >= 0 && shape.accepting[state]) {
            sets.push_back(static_cast<Mask>(set));
        }
        const unsigned low = set & -set, up = set + low;
        set = up | ((set ^ up) >> 2) / low;
    }
    return sets;
}

Model::Choice Model::propagator(int number, Seen seen, bool light) {
    const Seen key = light ? seen | kLight : seen;
    const auto known = choices_[number].find(key);
    if (known != choices_[number].end()) return known->second;
    const Shape& shape = shapes_[number];
    std::unique_ptr<const Propagator> made;
    std::optional<Tuples> fillings;
    bool knows_sight = false, stronger = false;
    const bool listed = shape.arity <= (light ? kLightArity : kTableArity);
    if (const auto allowed = relation_of(n_, shape)) {
        made = std::make_unique<Pair>(n_, *allowed, sees(seen, 0, 1));
        knows_sight = true;
    } else if (const auto family = family_of(n_, shape, seen)) {
        const bool table = shape.arity <= kTableArity &&
                           family->size() * kOrders[shape.arity] <= (light ? kLightTable : kFamilyTable);
        if (table) fillings = orders(n_, shape.arity, *family);
        if (!table) made = make_family(n_, shape.arity, *family);
        stronger = light && !table && shape.arity <= kTableArity;
        knows_sight = true;
    } else if (shape.kind == Kind::linear) {
        auto linear = std::make_unique<Linear>(n_, shape.numbers, shape.total);
        if (listed) fillings = linear->fillings(seen, kTableLimit);
        stronger = light && !listed && shape.arity <= kTableArity;
        made = std::move(linear);
    } else if (shape.kind == Kind::regular) {
        const bool permutation = (seen & kClique) && shape.arity == n_;
        auto regular = std::make_unique<Regular>(n_, shape.arity, shape.numbers, shape.accepting, permutation);
        knows_sight = regular->knows_sets();
        if (!knows_sight && listed) fillings = regular->fillings(seen, kTableLimit);
        stronger = light && !listed && !knows_sight && shape.arity <= kTableArity;
        made = std::move(regular);
    } else {
        made = std::make_unique<Count>(n_, shape.arity);
    }
    if (fillings) {
        made = std::make_unique<Table>(n_, *fillings);
        knows_sight = true;
    }
    const Choice choice{made.get(), knows_sight, stronger};
    propagators_.push_back(std::move(made));
    choices_[number].emplace(key, choice);
    return choice;
}

Lease::Lease(Model& model) : model_(model) {
    const std::lock_guard lock(model.guard_);
    if (!model.idle_.empty()) {
        space_ = std::move(model.idle_.back());
        model.idle_.pop_back();
    }
    if (!space_) space_ = std::make_unique<Space>(model);
}

Lease::~Lease() {
    const std::lock_guard lock(model_.guard_);
    model_.idle_.push_back(std::move(space_));
}

}  // namespace saywhy
