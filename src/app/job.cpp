// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/job.h"

#include <algorithm>

namespace paleproof::app {

namespace {
constexpr double gray_budget = 0.12;
constexpr double tint_budget = 0.30;  // over all inks
constexpr double line_budget = 0.06;
constexpr double hatch_budget = 0.09;

double default_budget(Style style) {
    switch (style) {
        case Style::color:
            return 1.0;
        case Style::gray:
            return gray_budget;
        case Style::tint:
            return tint_budget;
        case Style::line:
            return line_budget;
        case Style::hatch:
            return hatch_budget;
    }
    return 1.0;
}

}  // namespace

double effective_ink_budget(const Job& job) {
    return job.ink_budget.value_or(default_budget(job.style));
}

std::string_view name(Style style) {
    return std::ranges::find(style_words, style, &std::pair<std::string_view, Style>::second)
        ->first;
}

}  // namespace paleproof::app
