using FluentAssertions;
using PatchLang.Findings;
using Xunit;

namespace PatchLang.Conformance;

/// <summary>Nothing that the compiler can say, and no rule of its meaning, is without a plan.</summary>
public sealed class CoverageTests
{
    private const int RuleCount = 26;

    // What house rules say the compiler does not know: PatchLang.Scripting.Tests holds those pages, and runs their rules.
    public static TheoryData<string> Codes => [.. FindingCatalogue.All.Select(k => k.Code).Where(c => !RuleFindings.IsFromRules(c))];

    public static TheoryData<int> Rules => [.. Enumerable.Range(1, RuleCount)];

    [Theory]
    [MemberData(nameof(Codes))]
    public void A_code_has_a_case_and_right_beside_it_a_near_miss(string code)
    {
        var plans = PlansOf(code).ToList();

        plans.Where(p => p.Texts.Values.Any(t => t.Marks.Any(m => m.Code == code))).Should().NotBeEmpty("{0} has a case", code);
        var nearMisses = plans.Where(p => p.Name.Contains(code + "-near-miss", StringComparison.Ordinal)).ToList();
        nearMisses.Should().NotBeEmpty("{0} has a near miss", code);
        nearMisses.SelectMany(p => p.Texts.Values).SelectMany(t => t.Marks).Select(m => m.Code).Should().NotContain(code);
    }

    [Theory]
    [MemberData(nameof(Rules))]
    public void A_rule_has_plans_that_hold_and_plans_that_break_it(int rule)
    {
        var plans = Plan.AllNames.Where(n => n.StartsWith($"rules/{rule:00}-", StringComparison.Ordinal)).Select(Plan.Of).ToList();

        plans.Where(p => p.IsClean).Should().NotBeEmpty("a plan holds rule {0}", rule);
        plans.Where(p => !p.IsClean).Should().NotBeEmpty("a plan breaks rule {0}", rule);
    }

    private static IEnumerable<Plan> PlansOf(string code) => Plan.AllNames.Where(n => n.Contains("/" + code, StringComparison.Ordinal)).Select(Plan.Of);
}
