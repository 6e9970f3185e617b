#include "looks.h"

#include <algorithm>

#include "model.h"

namespace saywhy {

namespace {

// A look whose premises are being cut down.
class Filter {
  public:
    Filter(Model& model, Question& asked) : model_(model), asked_(asked), full_(full_mask(model.digits())) {
        if (asked_.target >= 0) asked_.domains[asked_.target] = asked_.denied;
    }

    void drop_primitives() {
        std::vector<int> kept = asked_.primitives;
        for (const int id : asked_.primitives) {
            if (kept.size() == 1) break;
            std::vector<int> fewer;
            std::ranges::copy_if(kept, std::back_inserter(fewer), [id](int other) { return other != id; });
            Lease space(model_);
            space->open(fewer);
            if (asked_.target >= 0 && space->local(asked_.target) < 0) continue;
            if (follows(*space)) kept = std::move(fewer);
        }
        asked_.primitives = kept;
    }

    void drop_facts() {
        space_.emplace(model_);
        Space& space = **space_;
        space.open(asked_.primitives);
        std::vector<int> all, empty;
        for (int cell = 0; cell < model_.cells(); ++cell) {
            if (cell == asked_.target) continue;
            if (space.local(cell) < 0) {
                asked_.domains[cell] = full_;
                continue;
            }
            all.push_back(cell);
            if (!asked_.placed[cell]) empty.push_back(cell);
        }
        for (const int cell : all) relax(cell, asked_.marked[cell]);
        for (const int cell : empty) relax(cell, full_);
        for (const int cell : all) {
            if (asked_.placed[cell]) relax(cell, full_);
        }
        for (const int cell : empty) one_by_one(cell, asked_.marked[cell]);
        for (const int cell : empty) one_by_one(cell, full_);
    }

    void deny_more() {
        const Mask others = static_cast<Mask>(full_ & ~asked_.kept);
        if (!relax(asked_.target, others)) one_by_one(asked_.target, others);
        asked_.domains[asked_.target] |= asked_.kept;
    }

  private:
    void one_by_one(int cell, Mask digits) {
        for (unsigned left = digits & ~asked_.domains[cell]; left != 0; left &= left - 1) {
            relax(cell, static_cast<Mask>(left & -left));
        }
    }

    // Allows these digits in the cell if what is asked still follows.
    bool relax(int cell, Mask digits) {
        const Mask before = asked_.domains[cell];
        if ((before | digits) == before) return true;
        asked_.domains[cell] = before | digits;
        if (follows(**space_)) return true;
        asked_.domains[cell] = before;
        return false;
    }

    bool follows(Space& space) {
        if (spent_ > asked_.total) return false;
        local_.resize(space.state_size());
        space.gather(asked_.domains, local_.data());
        if (!space.settle(local_.data())) return true;
        Limits limits;
        limits.nodes = asked_.nodes;
        bool found = false;
        Search search(space, limits);
        const End end = search.run(local_.data(), [&found](const Mask*) {
            found = true;
            return false;
        });
        spent_ += limits.used;
        return end == End::exhausted && !found;
    }

    Model& model_;
    Question& asked_;
    Mask full_;
    std::uint64_t spent_ = 0;
    std::optional<Lease> space_;
    std::vector<Mask> local_;
};

}  // namespace

Shrunk shrink(Model& model, Question question) {
    Filter filter(model, question);
    filter.drop_primitives();
    filter.drop_facts();
    if (question.target >= 0 && question.kept != 0) filter.deny_more();
    return {std::move(question.primitives), std::move(question.domains)};
}

}  // namespace saywhy
