// A solver of the plainest kind, and random models for it to be compared with. Shares nothing with the core but
// the five meanings.
#pragma once

#include <cstdint>
#include <random>
#include <vector>

namespace naive {

struct Primitive {
    char kind;  // d, l, p, r, c as in the model's add_ functions
    std::vector<int> cells;
    std::vector<int> numbers;    // coefficients, table or moves
    std::vector<int> accepting;  // states
    long long total = 0;
};

struct Problem {
    int n, cells;
    std::vector<Primitive> primitives;
    std::vector<std::uint16_t> domains;
};

inline bool holds(const Primitive& primitive, int n, const std::vector<int>& digits) {
    std::vector<int> word;
    for (const int cell : primitive.cells) word.push_back(digits[cell]);
    if (primitive.kind == 'd' || primitive.kind == 'c') {
        for (const int digit : word) {
            int times = 0;
            for (const int other : word) times += other == digit;
            if (times != (primitive.kind == 'd' ? 1 : digit)) return false;
        }
        return true;
    }
    if (primitive.kind == 'l') {
        long long sum = 0;
        for (std::size_t i = 0; i < word.size(); ++i) sum += static_cast<long long>(primitive.numbers[i]) * word[i];
        return sum == primitive.total;
    }
    if (primitive.kind == 'p') return primitive.numbers[word[0] - 1] >> (word[1] - 1) & 1;
    int state = 0;
    for (const int digit : word) {
        state = primitive.numbers[static_cast<std::size_t>(state) * n + digit - 1];
        if (state < 0) return false;
    }
    for (const int good : primitive.accepting) {
        if (good == state) return true;
    }
    return false;
}

// All fillings, in lexicographic order: depth first, a primitive looked at when its last cell is filled.
inline std::vector<std::vector<int>> fillings(const Problem& problem) {
    std::vector<std::vector<const Primitive*>> due(problem.cells);
    for (const Primitive& primitive : problem.primitives) {
        int last = 0;
        for (const int cell : primitive.cells) last = cell > last ? cell : last;
        due[last].push_back(&primitive);
    }
    std::vector<std::vector<int>> found;
    std::vector<int> digits(problem.cells, 0);
    const auto fill = [&](const auto& self, int cell) -> void {
        if (cell == problem.cells) {
            found.push_back(digits);
            return;
        }
        for (int digit = 1; digit <= problem.n; ++digit) {
            if (!(problem.domains[cell] >> (digit - 1) & 1)) continue;
            digits[cell] = digit;
            bool fine = true;
            for (const Primitive* primitive : due[cell]) fine = fine && holds(*primitive, problem.n, digits);
            if (fine) self(self, cell + 1);
        }
    };
    fill(fill, 0);
    return found;
}

class Maker {
  public:
    explicit Maker(std::uint64_t seed) : random_(seed) {}

    int below(int limit) { return static_cast<int>(random_() % static_cast<unsigned>(limit)); }

    Problem make() {
        Problem problem;
        // One in four: a whole house, whose cells are a permutation of the digits.
        const bool house = below(4) == 0;
        problem.n = house ? 3 + below(5) : below(5) == 0 ? 6 + below(11) : 2 + below(4);
        problem.cells = house ? problem.n : 2 + below(6);
        long long size = 1;
        for (int i = 0; i < problem.cells; ++i) size *= problem.n;
        for (; !house && size > 8000 && problem.cells > 2; size /= problem.n) --problem.cells;
        const std::uint16_t full = static_cast<std::uint16_t>((1u << problem.n) - 1);
        for (int cell = 0; cell < problem.cells; ++cell) {
            std::uint16_t held = full;
            if (below(3)) held = static_cast<std::uint16_t>((random_() | random_()) & full);
            problem.domains.push_back(held ? held : full);
        }
        if (house) problem.primitives.push_back(different(problem, problem.cells));
        const int count = 1 + below(5);
        for (int i = 0; i < count; ++i) problem.primitives.push_back(primitive(problem));
        return problem;
    }

  private:
    std::vector<int> some_cells(const Problem& problem, int count) {
        std::vector<int> all(problem.cells);
        for (int i = 0; i < problem.cells; ++i) all[i] = i;
        for (int i = problem.cells - 1; i > 0; --i) std::swap(all[i], all[below(i + 1)]);
        all.resize(count);
        return all;
    }
    Primitive different(const Problem& problem, int count) { return {'d', some_cells(problem, count), {}, {}, 0}; }

    Primitive primitive(const Problem& problem) {
        const int count = 1 + below(problem.cells);
        switch (below(6)) {
            case 0: return different(problem, count);
            case 1:
            case 2: {
                static constexpr int kCoefficients[] = {1, 1, 1, 1, -1, -1, 2, -2, 10, 3};
                const bool plain = below(2);
                Primitive made{'l', some_cells(problem, count), {}, {}, 0};
                for (int i = 0; i < count; ++i) {
                    made.numbers.push_back(plain ? 1 : kCoefficients[below(10)]);
                    made.total += static_cast<long long>(made.numbers[i]) * (1 + below(problem.n));
                }
                return made;
            }
            case 3: {
                Primitive made{'p', some_cells(problem, 2), {}, {}, 0};
                for (int i = 0; i < problem.n; ++i) {
                    made.numbers.push_back(static_cast<int>((random_() | random_()) & ((1u << problem.n) - 1)));
                }
                return made;
            }
            case 4: {
                const int states = 1 + below(6);
                Primitive made{'r', some_cells(problem, count), {}, {below(states)}, 0};
                for (int i = 0; i < states * problem.n; ++i) made.numbers.push_back(below(states + 1) - 1);
                for (int s = 0; s < states; ++s) {
                    if (below(2)) made.accepting.push_back(s);
                }
                return made;
            }
            default: return {'c', some_cells(problem, count), {}, {}, 0};
        }
    }

    std::mt19937_64 random_;
};

}  // namespace naive
