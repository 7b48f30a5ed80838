using System.Text;
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
        else if (Difference(plan, found) is { Length: > 0 } difference) throw new XunitException($"{name} is not what its marks expect (- expected, + found):\n{difference}");
    }

    [Theory]
    [MemberData(nameof(Plans))]
    public void Is_mended_by_the_fixes_it_names(string name)
    {
        var plan = Plan.Of(name);
        if (!plan.Mends.Any()) return;
        var fixes = plan.Compile().Findings.SelectMany(f => f.Fixes).ToList();
        foreach (var (number, title) in plan.Mends)
        {
            fixes.Should().HaveCountGreaterThanOrEqualTo(number, "{0} is to be mended by its fix {1}", name, number);
            var fix = fixes[number - 1];
            if (title is not null) fix.Title.Should().Be(title);
            plan.CompileMended(fix).Findings.Select(f => FoundMark.Of(f).ToString()).Should().BeEmpty("\"{0}\" mends {1}", fix.Title, name);
        }
    }

    [Fact]
    public void A_name_says_once_what_a_plan_is_about() =>
        Plan.AllNames.Should().NotBeEmpty().And.OnlyHaveUniqueItems().And.AllSatisfy(n => n.Should().MatchRegex("^[A-Za-z0-9/-]+\\.rig$"));

    private static bool HasTheCodesOf(Plan plan, IEnumerable<FoundMark> found) =>
        found.Select(f => (f.Path, f.Mark.Line, f.Mark.Code)).Order()
            .SequenceEqual(plan.Texts.SelectMany(t => t.Value.Marks.Select(m => (t.Key, m.Line, m.Code))).Order());

    /// <summary>What was expected and not found, and found and not expected, under the lines concerned; empty if there is nothing of it.</summary>
    private static string Difference(Plan plan, IEnumerable<FoundMark> findings)
    {
        var report = new StringBuilder();
        var byFile = findings.ToLookup(f => f.Path, f => f.Mark);
        foreach (var (path, text) in plan.Texts)
        {
            var found = byFile[path].ToList();
            var expected = text.Marks.ToList();
            expected.RemoveAll(mark => found.FindIndex(mark.Expects) is var match and >= 0 && Take(found, match));
            foreach (var line in expected.Concat(found).Select(m => m.Line).Distinct().Order())
            {
                report.Append(path).Append(':').Append(line + 1).Append("\n    ").Append(text.Line(line)).Append('\n');
                foreach (var mark in expected.Where(m => m.Line == line)) report.Append("  - ").Append(mark).Append('\n');
                foreach (var mark in found.Where(m => m.Line == line)) report.Append("  + ").Append(mark).Append('\n');
            }
        }
        foreach (var finding in byFile.Where(f => !plan.Texts.ContainsKey(f.Key)).SelectMany(f => f.Select(m => new FoundMark(f.Key, m))))
            report.Append("  + ").Append(finding).Append('\n');
        return report.ToString();

        static bool Take(List<Mark> found, int index)
        {
            found.RemoveAt(index);
            return true;
        }
    }
}
