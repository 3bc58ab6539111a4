// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/proof_check.h"

#include <algorithm>
#include <iterator>
#include <utility>

#include "filters/gray.h"
#include "plan/judgement.h"
#include "survey/text/proof_text.h"

namespace paleproof::app {

void check_proof(FaceWork& work, const Image& source, const Image& proof, const Job& job) {
    if (job.style == Style::color) return;
    FaceResult& result = work.result;
    const Image gray = filters::gray(source);
    for (TextLine& line : result.text) {
        if (const auto contrast = survey::contrast_in_proof(gray, proof, line)) {
            plan::judge_kept(line, *contrast, job.text);
        }
    }
    std::ranges::move(plan::lost_findings(result.name, result.text, job.text),
                      std::back_inserter(result.findings));
    if (auto missed =
            plan::budget_finding(result.name, result.proof_ink->total, work.plan.ink_budget)) {
        result.findings.push_back(std::move(*missed));
    }
}

}  // namespace paleproof::app
