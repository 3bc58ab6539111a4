// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/error.h"

#include <utility>

#include "core/utf8.h"

namespace paleproof {

Error::Error(ErrorKind kind, std::string subject, std::string detail)
    : std::runtime_error(one_line(subject + ": " + detail)),
      kind_(kind),
      subject_(std::move(subject)),
      detail_(std::move(detail)) {}

}  // namespace paleproof
