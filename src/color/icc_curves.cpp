// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/icc_curves.h"

#include <lcms2.h>

#include <cstddef>

#include "color/srgb.h"

namespace paleproof::color {

std::optional<MatrixProfile> matrix_profile(const std::shared_ptr<const OpenProfile>& open) {
    const cmsHPROFILE profile = open->profile.get();
    for (const cmsTagSignature table :
         {cmsSigAToB0Tag, cmsSigAToB1Tag, cmsSigDToB0Tag, cmsSigDToB1Tag}) {
        if (cmsIsTag(profile, table)) return std::nullopt;
    }
    if (cmsGetColorSpace(profile) != cmsSigRgbData || cmsGetPCS(profile) != cmsSigXYZData ||
        !cmsIsMatrixShaper(profile)) {
        return std::nullopt;
    }
    constexpr std::array colorants = {cmsSigRedColorantTag, cmsSigGreenColorantTag,
                                      cmsSigBlueColorantTag};
    constexpr std::array tone_curves = {cmsSigRedTRCTag, cmsSigGreenTRCTag, cmsSigBlueTRCTag};
    MatrixProfile result;
    for (std::size_t i = 0; i < 3; ++i) {
        const auto* colorant = static_cast<const cmsCIEXYZ*>(cmsReadTag(profile, colorants[i]));
        const auto* curve = static_cast<const cmsToneCurve*>(cmsReadTag(profile, tone_curves[i]));
        if (colorant == nullptr || curve == nullptr) return std::nullopt;
        result.to_xyz_d50[0][i] = colorant->X;
        result.to_xyz_d50[1][i] = colorant->Y;
        result.to_xyz_d50[2][i] = colorant->Z;
        // The tag's data belong to the profile, which the curve therefore keeps open.
        result.curves[i] = [open, curve](double value) {
            return static_cast<double>(cmsEvalToneCurveFloat(curve, static_cast<float>(value)));
        };
    }
    return result;
}

Shaper::Curve gray_curve(const std::shared_ptr<const OpenProfile>& open) {
    const lcms::Profile lab = lcms::lab_profile(open->context);
    const std::shared_ptr<const lcms::Transform> to_lab =
        std::make_shared<const lcms::Transform>(lcms::transform(
            open->context, open->profile, lab,
            {TYPE_GRAY_DBL, TYPE_Lab_DBL, lcms::Intent::relative, true, true}, "color profile"));
    return [open, to_lab](double value) {
        double result[3] = {};
        lcms::apply(*to_lab, &value, result, 1);
        return luminance_of_lightness(result[0]);
    };
}

}  // namespace paleproof::color
