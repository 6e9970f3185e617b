#include "cover.h"

#include <algorithm>
#include <limits>
#include <stdexcept>
#include <string>
#include <tuple>

namespace saywhy {

namespace {

// One way to show some needs: `shows` has a mask for each need.
struct Way {
    Cover::Kind kind;
    int along, cell;
    std::vector<Mask> shows;
};

}  // namespace

Cover::Cover(int digits, int cells) : n_(digits), cells_(cells), sights_(cells < 0 ? 0 : cells) {
    if (digits < 1 || digits > 16) throw std::invalid_argument("digits: 1 to 16 expected");
    if (cells < 1 || cells > 256) throw std::invalid_argument("cells: 1 to 256 expected");
    for (int digit = 0; digit < n_; ++digit) strikes_.push_back(static_cast<Mask>(1u << digit));
}

void Cover::see(int along, int from, int to, int strikes) {
    if (along < 0) throw std::invalid_argument("along: a number from 0 expected");
    for (const int cell : {from, to}) {
        if (cell < 0 || cell >= cells_) throw std::invalid_argument("there is no cell " + std::to_string(cell));
    }
    sights_[to].push_back({from, along, strikes});
    alongs_ = std::max(alongs_, along + 1);
}

void Cover::add_different(int along, const std::vector<int>& cells) {
    for (const int from : cells) {
        for (const int to : cells) {
            if (from != to) see(along, from, to, 0);
        }
    }
}

void Cover::add_pair(int along, int a, int b, const std::vector<Mask>& table) {
    if (static_cast<int>(table.size()) != n_) throw std::invalid_argument("table: one mask for each digit expected");
    const Mask full = static_cast<Mask>((1u << n_) - 1);
    const int there = static_cast<int>(strikes_.size());
    for (const Mask may : table) strikes_.push_back(static_cast<Mask>(full & ~may));
    const int back = static_cast<int>(strikes_.size());
    for (int digit = 0; digit < n_; ++digit) {
        Mask struck = 0;
        for (int other = 0; other < n_; ++other) {
            if (!(table[other] >> digit & 1)) struck |= static_cast<Mask>(1u << other);
        }
        strikes_.push_back(struck);
    }
    see(along, a, b, there);
    see(along, b, a, back);
}

std::vector<Cover::Chosen> Cover::choose(const std::vector<Need>& needs, const std::vector<int>& placed,
                                         const std::vector<int>& called, const Costs& costs) const {
    if (static_cast<int>(placed.size()) != cells_) throw std::invalid_argument("placed: one digit for each cell expected");
    if (std::ranges::any_of(placed, [&](int digit) { return digit < 0 || digit > n_; })) {
        throw std::invalid_argument("placed: digits from 0 expected");
    }
    std::vector<bool> in_mind(alongs_, false);
    for (const int along : called) {
        if (along >= 0 && along < alongs_) in_mind[along] = true;
    }
    std::vector<Way> ways;
    std::vector<int> place(static_cast<std::size_t>(alongs_) * cells_, -1);  // of a digit seen along something
    std::vector<Mask> left;
    for (int i = 0; i < static_cast<int>(needs.size()); ++i) {
        const auto [cell, asked, marked] = needs[i];
        if (cell < 0 || cell >= cells_) throw std::invalid_argument("needs: there is no cell " + std::to_string(cell));
        Mask able = 0;
        const auto show = [&](Way& way, Mask gone) {
            way.shows.resize(needs.size(), 0);
            way.shows[i] |= gone;
            able |= gone;
        };
        const int standing = placed[cell];
        if (standing != 0) {
            if (const Mask gone = asked & ~strikes_[standing - 1]) show(ways.emplace_back(filled, -1, cell), gone);
        } else if (const Mask gone = asked & marked) {
            show(ways.emplace_back(mark, -1, cell), gone);
        }
        for (const Sight& sight : sights_[cell]) {
            if (placed[sight.from] == 0) continue;
            const Mask gone = asked & strikes_[sight.strikes + placed[sight.from] - 1];
            if (gone == 0) continue;
            int& known = place[static_cast<std::size_t>(sight.along) * cells_ + sight.from];
            if (known < 0) {
                known = static_cast<int>(ways.size());
                ways.emplace_back(seen, sight.along, sight.from);
            }
            show(ways[known], gone);
        }
        left.push_back(able);
    }
    std::vector<Chosen> chosen;
    const auto open = [&] { return std::ranges::any_of(left, [](Mask mask) { return mask != 0; }); };
    while (open()) {
        const Way* best = nullptr;
        double least = std::numeric_limits<double>::infinity();
        for (const Way& way : ways) {
            int count = 0;
            for (std::size_t i = 0; i < left.size(); ++i) count += size_of(static_cast<Mask>(way.shows[i] & left[i]));
            if (count == 0) continue;
            const double whole = way.kind == filled ? costs.filled
                                 : way.kind == mark ? costs.mark
                                 : in_mind[way.along] ? costs.again
                                                      : costs.seen;
            const double cost = whole / count;
            const auto rank = [](const Way& one) { return std::tuple(one.kind, one.along, one.cell); };
            if (cost < least || (cost == least && rank(way) < rank(*best))) {
                best = &way;
                least = cost;
            }
        }
        Mask digits = 0;
        for (std::size_t i = 0; i < left.size(); ++i) {
            if (best->kind == mark) digits |= static_cast<Mask>(best->shows[i] & left[i]);
            left[i] &= static_cast<Mask>(~best->shows[i]);
        }
        if (best->kind == seen) in_mind[best->along] = true;
        chosen.push_back({best->along, best->cell, digits});
    }
    return chosen;
}

}  // namespace saywhy
