using System.Text.RegularExpressions;
using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Queries;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Conformance;

/// <summary>A thing by another name is the same thing: whoever is renamed, the plan finds what it found before, and sounds as it did.</summary>
public sealed class RenameTests
{
    public static TheoryData<string> Samples => ["lantern-quay", "studio-without-desk", "ten-minutes"];

    // Plans in which names stand that no sample has.
    public static TheoryData<string> Plans => [.. Plan.AllNames.Where(n => n.Contains("near-miss", StringComparison.Ordinal) && !n.StartsWith("text/", StringComparison.Ordinal))];

    [Theory]
    [MemberData(nameof(Samples))]
    public void Whatever_has_a_name_in_a_sample_can_have_another(string sample) => Check(Plan.OfSample(sample)).Should().BeGreaterThanOrEqualTo(10);

    [Theory]
    [MemberData(nameof(Plans))]
    public void Whatever_has_a_name_in_a_plan_without_a_fault_can_have_another(string name) => Check(Plan.Of(name));

    /// <summary>Renames each thing by itself.</summary>
    /// <returns>How many there were.</returns>
    private static int Check(Plan plan)
    {
        var before = plan.Compile();
        var findings = Findings(before, null, "");
        var sound = PlanSound.Of(before);
        var failures = new List<string>();
        var renamed = new HashSet<Subject>();
        foreach (var tree in before.Trees.Where(t => !t.Source.IsLibrary))
            foreach (var occurrence in before.Queries.In(tree))
            {
                var name = $"{occurrence.Subject.Name}_";
                if (!occurrence.IsDeclaration && occurrence.Subject is not SlotKindSubject || before.Queries.RefusalToRename(occurrence.Subject, name) is not null || !renamed.Add(occurrence.Subject)) continue;
                var after = Renamed(before, occurrence.Subject, name);
                var its = Findings(after, name, occurrence.Subject.Name);
                if (!its.SequenceEqual(findings)) failures.Add($"{name}: finds {string.Join("; ", its.Except(findings))}, and no more {string.Join("; ", findings.Except(its))}");
                else if (!PlanSound.Of(after).Select(l => Back(l, name, occurrence.Subject.Name)).Order(StringComparer.Ordinal).SequenceEqual(sound.Order(StringComparer.Ordinal))) failures.Add($"{name}: sounds otherwise");
            }
        string.Join('\n', failures).Should().BeEmpty();
        return renamed.Count;
    }

    private static Compilation Renamed(Compilation plan, Subject subject, string name)
    {
        foreach (var file in plan.Queries.PlacesOf(subject).GroupBy(p => p.Source).ToList())
        {
            var text = file.Key;
            foreach (var place in file.OrderByDescending(p => p.Span.Start)) text = text.With(new TextChange(place.Span, name));
            plan = plan.With(text);
        }
        return plan;
    }

    /// <summary>What is found, on which line, as if nothing had been renamed.</summary>
    private static List<string> Findings(Compilation plan, string? name, string old) =>
        [.. plan.Findings.Select(f => $"{f.Place.Source.Path}:{f.Place.Source.PositionOf(f.Place.Span.Start).Line} {f.Code} {(name is null ? f.Message : Back(f.Message, name, old))}").Order(StringComparer.Ordinal)];

    private static string Back(string text, string name, string old) => Regex.Replace(text, $@"\b{Regex.Escape(name)}(?!\w)", old);
}
