// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>
#include <string_view>

#include "core/error.h"
#include "core/format.h"

namespace paleproof {

/// One number of a parameter struct with its limits: default in the struct, limits here, read by
/// validation, help and docs alike.
template <class Params>
struct Field {
    std::string_view name;  ///< as an option is spelled: "max-coverage"
    std::string_view unit;  ///< "share of area", "mm"
    double Params::*member;
    double lowest;
    double highest;
};

/// Error{range} naming the first field of `params` that is outside its limits.
template <class Params, class Fields>
void check_fields(const Params& params, const Fields& fields) {
    for (const auto& field : fields) {
        const double value = params.*(field.member);
        if (!(value >= field.lowest && value <= field.highest)) {
            throw Error(ErrorKind::range, std::string(field.name),
                        "expected " + fixed(field.lowest, 3) + " to " + fixed(field.highest, 3) +
                            " (" + std::string(field.unit) + "), got " + fixed(value, 3));
        }
    }
}

}  // namespace paleproof
