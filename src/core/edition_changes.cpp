// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/edition_changes.h"

namespace paleproof {

const char* name(Change change) {
    switch (change) {
        case Change::changed:
            return "changed";
        case Change::added:
            return "added";
        case Change::removed:
            return "removed";
        case Change::unchanged:
            break;
    }
    return "unchanged";
}

}  // namespace paleproof
