#include "derived.h"

#include <array>
#include <compare>
#include <memory_resource>
#include <set>

namespace saywhy {

namespace {

// A set of cells; std::bitset counts by a call a word, which was most of the time here.
struct Cells {
    std::array<std::uint64_t, kMostCells / 64> words{};

    void set(int cell) { words[cell / 64] |= std::uint64_t{1} << (cell % 64); }
    bool test(int cell) const { return words[cell / 64] >> (cell % 64) & 1; }
    bool any() const { return (words[0] | words[1] | words[2] | words[3]) != 0; }
    int count() const {
        int found = 0;
        for (const std::uint64_t word : words) {
            if (word) found += size_of(word);
        }
        return found;
    }
    friend Cells operator&(Cells a, const Cells& b) {
        for (std::size_t w = 0; w < a.words.size(); ++w) a.words[w] &= b.words[w];
        return a;
    }
    friend Cells operator|(Cells a, const Cells& b) {
        for (std::size_t w = 0; w < a.words.size(); ++w) a.words[w] |= b.words[w];
        return a;
    }
    Cells without(const Cells& b) const {
        Cells left = *this;
        for (std::size_t w = 0; w < words.size(); ++w) left.words[w] &= ~b.words[w];
        return left;
    }
    friend bool operator==(const Cells&, const Cells&) = default;
    friend auto operator<=>(const Cells&, const Cells&) = default;
};

// The most cells that a derived sum is worth having with; above, it hardly ever prunes.
constexpr int kMostLeft = 6;
constexpr int kMostHouses = 3;

class Deriver {
  public:
    Deriver(int n, const std::vector<std::vector<std::uint16_t>>& houses, const std::vector<Sum>& sums)
        : house_total_(static_cast<long long>(n) * (n + 1) / 2), sums_(sums) {
        for (const auto& house : houses) house_cells_.push_back(set_of(house));
        for (const Sum& sum : sums) {
            sum_cells_.push_back(set_of(sum.cells));
            met_.insert(sum_cells_.back());
        }
        touching_.resize(houses.size());
        for (std::size_t h = 0; h < houses.size(); ++h) {
            for (std::size_t s = 0; s < sums.size(); ++s) {
                if ((house_cells_[h] & sum_cells_[s]).any()) touching_[h].push_back(static_cast<int>(s));
            }
        }
    }

    std::vector<Sum> run() {
        Cells covered;
        for (const Cells& cells : sum_cells_) covered = covered | cells;
        Cells board;
        for (const Cells& house : house_cells_) {
            bare_.push_back(house.without(covered).count());
            board = board | house;
        }
        // Sums here and there, such as pairs that make 10, leave nothing small over from two houses.
        if (5 * (covered & board).count() < 3 * board.count()) most_houses_ = 1;
        extend(0, 0, 0, Cells{}, Cells{});
        return std::move(found_);
    }

  private:
    template <class List>
    static Cells set_of(const List& list) {
        Cells cells;
        for (const int cell : list) cells.set(cell);
        return cells;
    }

    // `reached`: the cells of the sums that touch the houses so far. Houses that no sum joins to them are left
    // out: what they give together they give apart. `bare`: how many cells of the houses no sum covers.
    void extend(std::size_t from, int count, int bare, const Cells& united, const Cells& reached) {
        if (count > 0) derive(united, count);
        if (count == most_houses_) return;
        for (std::size_t h = from; h < house_cells_.size(); ++h) {
            if (bare + bare_[h] > kMostLeft || (house_cells_[h] & united).any()) continue;
            if (count > 0 && !(house_cells_[h] & reached).any()) continue;
            chosen_[count] = static_cast<int>(h);
            Cells wider = reached;
            for (const int s : touching_[h]) wider = wider | sum_cells_[s];
            extend(h + 1, count + 1, bare + bare_[h], united | house_cells_[h], wider);
        }
    }

    void derive(const Cells& united, int count) {
        Cells missing = united, out;
        long long total = -house_total_ * count;
        bool used = false;
        for (int c = 0; c < count; ++c) {
            for (const int s : touching_[chosen_[c]]) {
                const Cells& cells = sum_cells_[s];
                const Cells inside = cells & united;
                // Not taken yet, by another house or another sum on the same cells.
                if ((inside & missing) != inside) continue;
                const Cells outside = cells.without(united);
                if (outside.any() && (outside.count() >= inside.count() || (outside & out).any())) continue;
                missing = missing.without(inside);
                out = out | outside;
                total += sums_[s].total;
                used = true;
            }
        }
        if (!used || missing.count() + out.count() > kMostLeft || !(missing | out).any()) return;
        if (!met_.insert(missing | out).second) return;
        // What sticks out, less what is missing, makes the total.
        const bool one_sided = !out.any();
        Sum sum{{}, {}, one_sided ? -total : total};
        sum.cells.reserve(kMostLeft);
        sum.coefficients.reserve(kMostLeft);
        for (int cell = 0; cell < kMostCells; ++cell) {
            if (!missing.test(cell) && !out.test(cell)) continue;
            sum.cells.push_back(cell);
            sum.coefficients.push_back(out.test(cell) || one_sided ? 1 : -1);
        }
        found_.push_back(std::move(sum));
    }

    long long house_total_;
    const std::vector<Sum>& sums_;
    std::vector<Cells> house_cells_, sum_cells_;
    std::vector<std::vector<int>> touching_;  // for each house the sums that share cells with it
    std::vector<int> bare_;
    int most_houses_ = kMostHouses;
    std::array<int, kMostHouses> chosen_{};
    std::pmr::monotonic_buffer_resource room_;
    std::pmr::set<Cells> met_{&room_};
    std::vector<Sum> found_;
};

}  // namespace

std::vector<Sum> derived_sums(int n, const std::vector<std::vector<std::uint16_t>>& houses, const std::vector<Sum>& sums) {
    if (sums.empty()) return {};
    return Deriver(n, houses, sums).run();
}

}  // namespace saywhy
