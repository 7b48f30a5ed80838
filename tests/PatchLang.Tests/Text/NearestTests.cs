using System.Globalization;
using System.Text.RegularExpressions;
using CsCheck;
using FluentAssertions;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Text;

/// <summary>The name that was probably meant, beside the whole table of distances worked out for every candidate (optimal string alignment; from memory). Of equally near ones that with the same letters is it, then the one whose number alone is another, by the least, then the first in the alphabet.</summary>
public sealed partial class NearestTests
{
    private static readonly Gen<string> Names = Gen.String[Gen.Char["abAB01_"], 0, 9];

    [Fact]
    public void It_is_what_the_whole_table_says_of_every_candidate() =>
        Gen.Select(Names, Names.Array[0, 12]).Sample((name, candidates) => Nearest.To(name, candidates).Should().Be(Expected(name, candidates)), iter: 20_000);

    [Fact]
    public void Names_that_are_kept_for_it_say_the_same() =>
        Gen.Select(Names, Names.Array[0, 12]).Sample((name, candidates) => new KnownNames(candidates).NearestTo(name).Should().Be(Expected(name, candidates)), iter: 20_000);

    [Fact]
    public void Where_only_some_fit_it_is_one_of_those() =>
        Gen.Select(Names, Names.Array[0, 12]).Sample((name, candidates) =>
            new KnownNames(candidates).NearestTo(name, c => c.Length % 2 == 0).Should().Be(Expected(name, [.. candidates.Where(c => c.Length % 2 == 0)])), iter: 5_000);

    [Fact]
    public void A_name_in_other_case_is_near_however_many_letters_differ() =>
        new KnownNames(["\U00010428quay", "straße", "ÅNGSTRÖM"]).NearestTo("ångström").Should().Be("ÅNGSTRÖM");

    [Theory]
    [InlineData(1_000, "feeder0990")]
    [InlineData(1_001, null)]
    public void By_several_slips_nobody_can_tell_which_of_very_many_is_meant(int count, string? meant) =>
        new KnownNames(Enumerable.Range(0, count).Select(i => $"feeder{i:0000}")).NearestTo("fedre099x").Should().Be(meant);

    [Fact]
    public void By_one_slip_it_is_found_among_very_many() =>
        new KnownNames(Enumerable.Range(0, 100_000).Select(i => $"feeder{i}")).NearestTo("feedr5123").Should().Be("feeder5123");

    [Fact]
    public void The_many_that_are_looked_up_are_told_what_few_would_be()
    {
        Gen.Select(Gen.String[Gen.Char["abAB01_"], 3, 7].Array[1_500], Gen.String[Gen.Char["abAB01_\U00010428"], 3, 8].Array[80]).Sample((candidates, asked) =>
        {
            var known = new KnownNames(candidates.Distinct());
            foreach (var name in asked)
                if (Near(name, candidates) is { } meant) known.NearestTo(name).Should().Be(meant);
        }, iter: 3);

        // The nearest, where it is a single slip away: farther ones may be too many to tell.
        static string? Near(string name, string[] candidates) =>
            Expected(name, candidates) is { } meant && Distance(name, meant) == 1 ? meant : null;
    }

    [Theory]
    [InlineData("{0}quay", "{0}qay")]
    [InlineData("quay{0}tide", "quya{0}tide")]
    [InlineData("{0}QUAY", "{0}quay")]
    public void Though_every_name_is_misspelt_few_are_looked_at_for_each(string name, string misspelt)
    {
        const int Count = 30_000;
        var known = new KnownNames(Enumerable.Range(0, Count).Select(i => string.Format(CultureInfo.InvariantCulture, name, i)));
        for (var i = 0; i < Count; i++)
            known.NearestTo(string.Format(CultureInfo.InvariantCulture, misspelt, i)).Should().Be(string.Format(CultureInfo.InvariantCulture, name, i));
        known.LookedAt.Should().BeLessThan(200 * Count);
    }

    [Fact]
    public void Though_no_name_is_like_any_other_few_are_looked_at_for_each()
    {
        const int Count = 30_000;
        var known = new KnownNames(Enumerable.Range(0, Count).Select(i => $"wedge{i:00000}"));
        for (var i = 0; i < Count; i++) known.NearestTo($"{i:00000}quiz").Should().BeNull();
        known.LookedAt.Should().BeLessThan(200 * Count);
    }

    [Theory]
    [InlineData("recorde", "recorder")]
    [InlineData("recrodre", "recorder")]
    [InlineData("RECORDER", "recorder")]
    [InlineData("d00004_quayQ", "d00004_quay")]
    [InlineData("d00040_quay", "d00004_quay")]
    public void A_slip_is_mended(string written, string meant) =>
        Nearest.To(written, ["wedge", "recorder", "d00003_quay", "d00004_quay", "d00014_quay"]).Should().Be(meant);

    [Theory]
    [InlineData("Desk96", "Desk64")]
    [InlineData("Desk32", "Desk24")]
    [InlineData("Desk47", "Desk48")]
    [InlineData("Desk", "Desk24")]
    public void Of_names_that_differ_in_a_number_the_nearest_number_is_meant(string written, string meant) =>
        Nearest.To(written, ["Desk128", "Desk24", "Desk48", "Desk64"]).Should().Be(meant);

    private static string? Expected(string name, string[] candidates) => candidates
        .Select(c => (Name: c, Distance: Distance(name, c)))
        .Where(c => c.Distance > 0 && c.Distance <= Math.Max(1, Math.Max(name.Length, c.Name.Length) / 3))
        .OrderBy(c => c.Distance).ThenBy(c => c.Name.Order().SequenceEqual(name.Order()) ? 0 : 1).ThenBy(c => Gap(name, c.Name)).ThenBy(c => c.Name, StringComparer.Ordinal)
        .Select(c => c.Name).FirstOrDefault();

    private static double Gap(string from, string to)
    {
        var (one, other) = (NumberAtEnd().Match(from), NumberAtEnd().Match(to));
        return one.Success && other.Success && one.Groups["stem"].Value == other.Groups["stem"].Value
            ? Math.Abs(double.Parse(one.Groups["number"].Value, CultureInfo.InvariantCulture) - double.Parse(other.Groups["number"].Value, CultureInfo.InvariantCulture))
            : double.PositiveInfinity;
    }

    [GeneratedRegex(@"\A(?<stem>.*?)(?<number>[0-9]+)\z", RegexOptions.Singleline | RegexOptions.ExplicitCapture)]
    private static partial Regex NumberAtEnd();

    private static int Distance(string from, string to)
    {
        if (from == to) return 0;
        if (from.Equals(to, StringComparison.OrdinalIgnoreCase)) return 1;
        var table = new int[from.Length + 1, to.Length + 1];
        for (var i = 0; i <= from.Length; i++) table[i, 0] = i;
        for (var j = 0; j <= to.Length; j++) table[0, j] = j;
        for (var i = 1; i <= from.Length; i++)
            for (var j = 1; j <= to.Length; j++)
            {
                table[i, j] = Math.Min(Math.Min(table[i - 1, j], table[i, j - 1]) + 1, table[i - 1, j - 1] + (from[i - 1] == to[j - 1] ? 0 : 1));
                if (i > 1 && j > 1 && from[i - 1] == to[j - 2] && from[i - 2] == to[j - 1]) table[i, j] = Math.Min(table[i, j], table[i - 2, j - 2] + 1);
            }
        return table[from.Length, to.Length];
    }
}
