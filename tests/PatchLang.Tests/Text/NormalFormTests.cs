using System.Diagnostics;
using System.Runtime.CompilerServices;
using System.Security.Cryptography;
using System.Text;
using FluentAssertions;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Text;

/// <summary>
/// Held against vectors in the manner of Unicode's NormalizationTest.txt, which another implementation wrote
/// (Python's <c>unicodedata</c>, see <c>grammar/normal_form.py</c>).
/// </summary>
public sealed class NormalFormTests
{
    public static TheoryData<string> Vectors => [.. Lines().Where(l => l[0] is not ('#' or '@'))];

    [Theory]
    [MemberData(nameof(Vectors))]
    public void A_text_its_composed_and_its_decomposed_form_compose_to_the_same(string vector)
    {
        var forms = vector.Split(';').Select(Letters).ToArray();
        NormalForm.Compose(forms[0]).Should().Be(forms[1]);
        NormalForm.Compose(forms[1]).Should().Be(forms[1]);
        NormalForm.Compose(forms[2]).Should().Be(forms[1]);
    }

    [Fact]
    public void Every_character_there_is_composes_as_Unicode_says()
    {
        var all = new StringBuilder();
        for (var point = 0; point <= 0x10FFFF; point++)
        {
            if (point is >= 0xD800 and <= 0xDFFF) continue;
            if (point > 0) all.Append('\n');
            all.Append(NormalForm.Compose(char.ConvertFromUtf32(point)));
        }
        var hash = Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes(all.ToString())));
        Lines().Should().Contain($"@all;{hash.ToLowerInvariant()}");
    }

    [Theory]
    [InlineData("", "")]
    [InlineData("rack_2", "rack_2")]
    [InlineData("e\u0301toile", "étoile")]
    [InlineData("\u212Bngstro\u0308m", "Ångström")]
    [InlineData("a\uD834", "a\uD834")] // half a character stays half a character
    [InlineData("\uDD1Ee\u0301", "\uDD1Eé")]
    public void Names_typed_in_two_ways_are_one(string typed, string composed) => NormalForm.Compose(typed).Should().Be(composed);

    [Fact]
    public void A_hundred_thousand_marks_over_one_letter_take_no_time()
    {
        var text = "a" + string.Concat(Enumerable.Repeat("\u0323\u0301", 50_000));
        var clock = Stopwatch.StartNew();
        NormalForm.Compose(text).Should().StartWith("\u1EA1\u0323").And.EndWith("\u0301");
        clock.Elapsed.Should().BeLessThan(TimeSpan.FromSeconds(20)); // minutes, if marks were sorted one by one
    }

    private static string Letters(string points) => string.Concat(points.Split(' ').Select(p => char.ConvertFromUtf32(Convert.ToInt32(p, 16))));

    private static string[] Lines([CallerFilePath] string thisFile = "") =>
        File.ReadAllText(Path.Combine(Path.GetDirectoryName(thisFile)!, "NormalFormVectors.txt")).Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(l => l.TrimEnd('\r')).ToArray();
}
