#include "alike.h"

#include <algorithm>

namespace saywhy {

Alike::Alike(Space& space) : space_(space), n_(space.digits()), made_(space.state_size()) {
    if (space.cells() != n_ * n_) return;
    for (int cell = 0; cell < space.cells(); ++cell) {
        if (space.global(cell) != cell) return;
    }
    for (int turn = 0; turn < 8; ++turn) {
        for (int shift = 0; shift < n_; ++shift) {
            for (const bool upside_down : {false, true}) {
                if (turn || shift || upside_down) changes_.push_back({turn, shift, upside_down});
            }
        }
    }
}

void Alike::apply(const Change& change, const Mask* filling) {
    for (int cell = 0; cell < n_ * n_; ++cell) {
        int row = cell / n_, column = cell % n_;
        if (change.turn & 1) row = n_ - 1 - row;
        if (change.turn & 2) column = n_ - 1 - column;
        if (change.turn & 4) std::swap(row, column);
        const int digit = lowest(filling[row * n_ + column]);
        const int counted = change.upside_down ? n_ - 1 - digit : digit;
        made_[cell] = static_cast<Mask>(1u << (counted + change.shift) % n_);
    }
}

void Alike::witness(const Mask* filling, const Mask* domains, Mask* open) {
    const int cells = space_.cells();
    std::erase_if(changes_, [&](const Change& change) {
        apply(change, filling);
        bool within = true, news = false;
        for (int cell = 0; cell < cells && within; ++cell) {
            within = made_[cell] & domains[cell];
            news = news || (made_[cell] & open[cell]);
        }
        if (!within) return true;
        if (!news) return false;
        if (!space_.settle(made_.data())) return true;
        for (int cell = 0; cell < cells; ++cell) open[cell] &= static_cast<Mask>(~made_[cell]);
        return false;
    });
}

}  // namespace saywhy
