// SPDX-License-Identifier: BSD-3-Clause
#include "twintrack/core/error.hpp"

#include <gtest/gtest.h>

#include "twintrack/core/text.hpp"

namespace {

using namespace twintrack;

TEST(Shortened, KeepsWhatIsShortEnough) {
    EXPECT_EQ(shortened("", 0), "");
    EXPECT_EQ(shortened("abcdef", 6), "abcdef");
    EXPECT_EQ(shortened("abcdefg", 6), "abcd … fg");
}

TEST(Shortened, NeverCutsInsideACharacter) {
    const std::string text = "aΩΩΩΩΩΩΩΩΩΩ";  // 21 bytes
    for (std::size_t most = 1; most < 21; ++most) {
        const std::string cut = shortened(text, most);
        EXPECT_LE(cut.size(), most + std::string(" … ").size());
        std::size_t letters = 0;
        for (std::size_t i = 0; i + 1 < cut.size(); ++i) letters += cut.substr(i, 2) == "Ω" ? 1 : 0;
        const std::size_t others = std::string(" … ").size() + (cut.starts_with("a") ? 1 : 0);
        EXPECT_EQ(cut.size(), 2 * letters + others) << cut;
    }
}

TEST(InvalidParameter, IsShortWhateverItRepeats) {
    const InvalidParameter error(std::string(100'000, 'x'), std::string(100'000, 'y'));
    EXPECT_LT(std::string(error.what()).size(), 2000u);
    EXPECT_LT(error.where().size(), 300u);
    EXPECT_EQ(std::string(InvalidParameter("a.b", "is wrong").what()), "a.b: is wrong");
}

TEST(RequireText, TakesAThousandBytesOfOneLine) {
    EXPECT_NO_THROW(require_text("", "w", "name"));
    EXPECT_NO_THROW(require_text(std::string(1000, 'x'), "w", "name"));
    EXPECT_NO_THROW(require_text(" ~Ω–", "w", "name"));
    EXPECT_THROW(require_text(std::string(1001, 'x'), "w", "name"), InvalidParameter);
    for (const char c : {'\0', '\n', '\x1f', '\x7f'})
        EXPECT_THROW(require_text(std::string("a") + c, "w", "name"), InvalidParameter) << static_cast<int>(c);
}

}  // namespace
