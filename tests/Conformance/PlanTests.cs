using FluentAssertions;
using PatchLang.Findings;
using Xunit;
using Xunit.Sdk;

namespace PatchLang.Conformance;

/// <summary>
/// Every plan gives exactly the findings that are marked in it. Adding a case is adding a file. With <c>PATCHLANG_ACCEPT=1</c>
/// the marks of a plan are filled in, or brought up to date, where each line has the codes that it is expected to have;
/// with <c>PATCHLANG_ACCEPT=all</c> they are rewritten from whatever the compiler gives: read the difference before you keep it.
/// With <c>PATCHLANG_BINARY</c> the program that it names is asked instead of the compiler's library.
/// </summary>
public sealed class PlanTests
{
    private static readonly string? Accepted = Environment.GetEnvironmentVariable("PATCHLANG_ACCEPT");

    public static TheoryData<string> Plans => [.. Plan.AllNames];

    [Theory]
    [MemberData(nameof(Plans))]
    public void Gives_what_its_marks_expect(string name)
    {
        var plan = Plan.Of(name);
        var found = Program.IsAsked ? Program.Check(plan) : [.. plan.Compile().Findings.Select(FoundMark.Of)];
        if (Accepted == "all" || (Accepted == "1" && HasTheCodesOf(plan, found))) plan.Accept(found);
        else if (MarkDifference.Of(plan.Texts, found) is { Length: > 0 } difference) throw new XunitException($"{name} is not what its marks expect (- expected, + found):\n{difference}");
    }

    [Theory]
    [MemberData(nameof(Plans))]
    public void Is_mended_by_the_fixes_it_names(string name)
    {
        var plan = Plan.Of(name);
        if (!plan.Mends.Any()) return;
        var fixes = plan.Compile().Findings.SelectMany(f => f.Fixes).ToList();
        foreach (var (number, title, left) in plan.Mends)
        {
            fixes.Should().HaveCountGreaterThanOrEqualTo(number, "{0} is to be mended by its fix {1}", name, number);
            var fix = fixes[number - 1];
            if (title is not null) fix.Title.Should().Be(title);
            var found = plan.CompileMended(fix).Findings;
            found.Where(f => f.Code != left).Select(f => FoundMark.Of(f).ToString()).Should().BeEmpty("\"{0}\" mends {1}", fix.Title, name);
            if (left is not null) found.Select(f => f.Code).Should().Contain(left, "\"{0}\" leaves that in {1}", fix.Title, name);
        }
    }

    [Fact]
    public void A_name_says_once_what_a_plan_is_about() =>
        Plan.AllNames.Should().NotBeEmpty().And.OnlyHaveUniqueItems().And.AllSatisfy(n => n.Should().MatchRegex("^[A-Za-z0-9/-]+\\.rig$"));

    private static bool HasTheCodesOf(Plan plan, IEnumerable<FoundMark> found) =>
        found.Select(f => (f.Path, f.Mark.Line, f.Mark.Code)).Order()
            .SequenceEqual(plan.Texts.SelectMany(t => t.Value.Marks.Select(m => (t.Key, m.Line, m.Code))).Order());
}
