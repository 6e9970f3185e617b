// A relation of two cells.
#pragma once

#include <array>

#include "propagator.h"

namespace saywhy {

// Full support on a relation of two cells.
//
// Why this way: the digits that some digit of a set allows are two look-ups, one a byte of the set, whatever
// the relation is. Cost: four look-ups; 2 KiB a relation, shared by all its pairs.
class Pair final : public Propagator {
  public:
    // `allowed[d - 1]` is the set that digit d of the first cell allows in the second; `differ` forbids twins.
    Pair(int n, const std::vector<Mask>& allowed, bool differ);
    bool filter(Mask* domains) const override;

  private:
    using Image = std::array<std::array<Mask, 256>, 2>;
    static Mask look_up(const Image& image, Mask digits) { return image[0][digits & 255] | image[1][digits >> 8]; }
    Image forward_{}, backward_{};
};

}  // namespace saywhy
