// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "unit/color/lcms_reference.h"

#include <doctest/doctest.h>

#include <array>
#include <cstddef>

namespace paleproof::reference {

std::vector<std::uint8_t> bytes_of(const Profile& profile) {
    cmsUInt32Number size = 0;
    cmsSaveProfileToMem(profile.get(), nullptr, &size);
    std::vector<std::uint8_t> bytes(size);
    REQUIRE(cmsSaveProfileToMem(profile.get(), bytes.data(), &size));
    return bytes;
}

Profile opened(std::span<const std::uint8_t> bytes) {
    Profile profile(
        cmsOpenProfileFromMem(bytes.data(), static_cast<cmsUInt32Number>(bytes.size())));
    REQUIRE(profile != nullptr);
    return profile;
}

Profile adobe_rgb() {
    const cmsCIExyY white = {0.3127, 0.3290, 1.0};
    const cmsCIExyYTRIPLE primaries = {{0.64, 0.33, 1.0}, {0.21, 0.71, 1.0}, {0.15, 0.06, 1.0}};
    cmsToneCurve* gamma = cmsBuildGamma(nullptr, 563.0 / 256.0);
    cmsToneCurve* curves[3] = {gamma, gamma, gamma};
    Profile profile(cmsCreateRGBProfile(&white, &primaries, curves));
    cmsFreeToneCurve(gamma);
    return profile;
}

Profile gray_profile(double gamma, cmsProfileClassSignature profile_class) {
    cmsToneCurve* curve = cmsBuildGamma(nullptr, gamma);
    Profile profile(cmsCreateGrayProfile(cmsD50_xyY(), curve));
    cmsFreeToneCurve(curve);
    cmsSetDeviceClass(profile.get(), profile_class);
    return profile;
}

Profile adobe_rgb_as_table() {
    const Profile lab(cmsCreateLab4Profile(nullptr));
    cmsHTRANSFORM to_lab =
        cmsCreateTransform(adobe_rgb().get(), TYPE_RGB_16, lab.get(), TYPE_Lab_16,
                           INTENT_RELATIVE_COLORIMETRIC, cmsFLAGS_NOOPTIMIZE);
    cmsStage* table = cmsStageAllocCLut16bit(nullptr, 17, 3, 3, nullptr);
    const auto sample = [](const cmsUInt16Number in[], cmsUInt16Number out[], void* cargo) {
        cmsDoTransform(cargo, in, out, 1);
        return TRUE;
    };
    REQUIRE(cmsStageSampleCLut16bit(table, sample, to_lab, 0));
    cmsPipeline* pipeline = cmsPipelineAlloc(nullptr, 3, 3);
    // The file format wants curves before and after: straight ones.
    REQUIRE(
        cmsPipelineInsertStage(pipeline, cmsAT_END, cmsStageAllocToneCurves(nullptr, 3, nullptr)));
    REQUIRE(cmsPipelineInsertStage(pipeline, cmsAT_END, table));
    REQUIRE(
        cmsPipelineInsertStage(pipeline, cmsAT_END, cmsStageAllocToneCurves(nullptr, 3, nullptr)));
    Profile profile(cmsCreateProfilePlaceholder(nullptr));
    cmsSetProfileVersion(profile.get(), 4.3);
    cmsSetDeviceClass(profile.get(), cmsSigDisplayClass);
    cmsSetColorSpace(profile.get(), cmsSigRgbData);
    cmsSetPCS(profile.get(), cmsSigLabData);
    REQUIRE(cmsWriteTag(profile.get(), cmsSigAToB0Tag, pipeline));
    REQUIRE(cmsWriteTag(profile.get(), cmsSigMediaWhitePointTag, cmsD50_XYZ()));
    cmsPipelineFree(pipeline);
    cmsDeleteTransform(to_lab);
    return profile;
}

std::vector<double> full_transform(const Profile& from, cmsUInt32Number from_format,
                                   const Profile& to, cmsUInt32Number to_format,
                                   std::span<const std::uint8_t> in, bool black_point_compensation,
                                   cmsUInt32Number intent) {
    cmsUInt32Number flags = cmsFLAGS_NOOPTIMIZE | cmsFLAGS_NOCACHE;
    if (black_point_compensation) flags |= cmsFLAGS_BLACKPOINTCOMPENSATION;
    cmsHTRANSFORM transform =
        cmsCreateTransform(from.get(), from_format, to.get(), to_format, intent, flags);
    REQUIRE(transform != nullptr);
    const std::size_t pixels = in.size() / T_CHANNELS(from_format);
    std::vector<double> out(pixels * T_CHANNELS(to_format));
    cmsDoTransform(transform, in.data(), out.data(), static_cast<cmsUInt32Number>(pixels));
    cmsDeleteTransform(transform);
    return out;
}

std::vector<std::uint8_t> grid(int channels, int step) {
    const auto count = static_cast<std::size_t>(channels);
    std::vector<std::uint8_t> samples;
    std::array<int, 4> at{};
    for (;;) {
        for (std::size_t i = 0; i < count; ++i) samples.push_back(static_cast<std::uint8_t>(at[i]));
        std::size_t i = 0;
        while (i < count && (at[i] += step) > 255) at[i++] = 0;
        if (i == count) return samples;
    }
}

}  // namespace paleproof::reference
