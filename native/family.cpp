#include "family.h"

#include "sets.h"

namespace saywhy {

namespace {

template <int Words>
class Family final : public Propagator {
  public:
    Family(int arity, const std::vector<Mask>& family) : arity_(arity) {
        for (const Mask set : family) family_.insert(set);
    }

    bool filter(Mask* domains) const override {
        std::array<Sets<Words>, kMostSetDigits + 1> used;
        used[0].insert(0);
        for (int i = 0; i < arity_; ++i) {
            for (unsigned left = domains[i]; left; left &= left - 1) used[i + 1].add_with(used[i], lowest(left));
        }
        used[arity_] &= family_;
        if (!used[arity_].any()) return false;
        for (int i = arity_ - 1; i >= 0; --i) {
            Sets<Words> ending;
            Mask kept = 0;
            for (unsigned left = domains[i]; left; left &= left - 1) {
                const Sets<Words> through = Sets<Words>::before(used[i + 1], used[i], lowest(left));
                if (through.any()) kept |= static_cast<Mask>(left & -left);
                ending |= through;
            }
            used[i] = ending;
            domains[i] = kept;
        }
        return true;
    }

  private:
    int arity_;
    Sets<Words> family_;
};

}  // namespace

Tuples orders(int n, int arity, const std::vector<Mask>& family) {
    Tuples found{arity, {}};
    std::array<std::uint8_t, kMostSetDigits> digits;
    const auto extend = [&](const auto& self, int place, unsigned left) -> void {
        if (place == arity) {
            found.digits.insert(found.digits.end(), digits.begin(), digits.begin() + arity);
            return;
        }
        for (unsigned open = left; open; open &= open - 1) {
            digits[place] = static_cast<std::uint8_t>(lowest(open));
            self(self, place + 1, left & ~(open & -open));
        }
    };
    for (int first = 0; first < n; ++first) {
        digits[0] = static_cast<std::uint8_t>(first);
        for (const Mask set : family) {
            if (set >> first & 1) extend(extend, 1, set & ~(1u << first));
        }
    }
    return found;
}

std::unique_ptr<const Propagator> make_family(int n, int arity, const std::vector<Mask>& family) {
    switch (set_words(n)) {
        case 1: return std::make_unique<Family<1>>(arity, family);
        case 2: return std::make_unique<Family<2>>(arity, family);
        case 4: return std::make_unique<Family<4>>(arity, family);
        default: return std::make_unique<Family<8>>(arity, family);
    }
}

}  // namespace saywhy
