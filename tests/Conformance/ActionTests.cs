using System.Collections.Immutable;
using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Formatting;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Conformance;

/// <summary>
/// Whatever an editor offers to do to a plan can be done: a fix takes its finding away, the same in other words is the same, and
/// what was tidy stays so. In the conformance plans that is everything; in the samples every fix, and the rewrites of every fifth statement.
/// </summary>
public sealed class ActionTests
{
    /// <summary>A sample is clean, and its statements are much alike: of so many one is looked at.</summary>
    private const int OneOfInSamples = 5;

    private static readonly string[] Samples = ["lantern-quay", "studio-without-desk", "ten-minutes"];

    public static TheoryData<string> Plans => [.. Plan.AllNames.Select(n => n.Split('/')[0]).Distinct(), "samples"];

    [Theory]
    [MemberData(nameof(Plans))]
    public void Each_does_what_it_says(string folder)
    {
        var failures = new List<string>();
        var tried = 0;
        var plans = folder == "samples" ? Samples.Select(Plan.OfSample) : Plan.AllNames.Where(n => n.StartsWith(folder + "/", StringComparison.Ordinal)).Select(Plan.Of);
        foreach (var plan in plans)
        {
            var before = new Before(plan.Compile());
            foreach (var finding in before.Compilation.Findings)
                foreach (var fix in finding.Fixes) Try($"{plan.Name}: fix \"{fix.Title}\" of {FoundMark.Of(finding)}", before.Compilation.Queries.EditsOf(fix), after => before.Mended(finding, after, fix.IsSafe));
            foreach (var tree in before.Compilation.Trees.Where(t => !t.Source.IsLibrary))
                foreach (var rewrite in RewritesIn(before.Compilation, tree, folder == "samples" ? OneOfInSamples : 1))
                    Try($"{plan.Name}: \"{rewrite.Title}\"", rewrite.Edits, after => rewrite.Mends is { } finding ? before.Mended(finding, after, isSafe: false) : before.Same(after));

            void Try(string what, ImmutableArray<TextEdit> edits, Func<Compilation, string?> judge)
            {
                tried++;
                try
                {
                    var after = Applied(before.Compilation, edits);
                    if (edits.IsEmpty) failures.Add($"{what}: does nothing");
                    else if (judge(after) is { } wrong) failures.Add($"{what}: {wrong}");
                    else if (before.Untidied(after) is { } file) failures.Add($"{what}: leaves {file} untidy");
                }
                catch (Exception e) when (e is ArgumentException or InvalidOperationException)
                {
                    failures.Add($"{what}: {e.Message}");
                }
            }
        }
        string.Join('\n', failures).Should().BeEmpty();
        tried.Should().BeGreaterThan(4, "a folder of plans without anything to do is none");
    }

    /// <summary>What each statement offers as a whole, and at each name in it.</summary>
    private static IEnumerable<Rewrite> RewritesIn(Compilation plan, SyntaxTree tree, int oneOf)
    {
        var offered = new HashSet<string>(StringComparer.Ordinal);
        for (var i = 0; i < tree.Count; i += oneOf)
        {
            var places = plan.Queries.In(tree, i).Select(o => new TextSpan(o.Span.Start, 0)).Prepend(PlanQueries.SpanOf(tree[i]).Moved(tree.StartOf(i)));
            foreach (var place in places)
                foreach (var rewrite in Rewrite.In(plan.Queries, plan.Findings, tree, place, []))
                    if (offered.Add(rewrite.Title + string.Concat(rewrite.Edits.Select(e => $"{e.Source.Path} {e.Span} {e.NewText}")))) yield return rewrite;
        }
    }

    private static Compilation Applied(Compilation plan, ImmutableArray<TextEdit> edits)
    {
        foreach (var file in edits.GroupBy(e => e.Source))
        {
            var end = file.Key.Length;
            var text = file.Key;
            foreach (var edit in file.OrderByDescending(e => e.Span.Start).ThenByDescending(e => e.Span.End))
            {
                if (edit.Span.End > end) throw new InvalidOperationException("its edits overlap");
                end = edit.Span.Start;
                text = text.With(new TextChange(edit.Span, edit.NewText));
            }
            plan = plan.With(text);
        }
        return plan;
    }

    /// <summary>A plan before something is done to it.</summary>
    private sealed class Before(Compilation plan)
    {
        private readonly List<string> codes = Codes(plan);
        private readonly HashSet<string> tidy = [.. plan.Trees.Where(t => !t.Source.IsLibrary && t.Findings.IsEmpty && Tidy.Edits(t).IsEmpty).Select(t => t.Source.Path)];
        private List<string>? sound;

        public Compilation Compilation => plan;

        /// <summary>
        /// What is wrong where a finding should be gone; null if nothing is. A mend may let more be seen than before; what may be done
        /// unasked brings no error at all.
        /// </summary>
        public string? Mended(Finding finding, Compilation after, bool isSafe)
        {
            var its = Said(finding);
            if (after.Findings.Count(f => Said(f) == its) >= plan.Findings.Count(f => Said(f) == its)) return "the finding is still there";
            if (!isSafe) return null;
            // Where text could not be read, what it names is looked at for the first time.
            var added = after.Findings.Where(f => f.Severity == Severity.Error && (IsOfText(f) || !IsOfText(finding))).Select(Said).ToList();
            foreach (var known in plan.Findings) added.Remove(Said(known));
            return added.Count > 0 ? $"brings {string.Join("; ", added)}" : null;
        }

        /// <summary>What is not as it was; null if everything is.</summary>
        public string? Same(Compilation after)
        {
            if (!Codes(after).SequenceEqual(codes)) return $"finds {string.Join(", ", Codes(after))}, where there were {string.Join(", ", codes)}";
            return PlanSound.Of(after).SequenceEqual(sound ??= PlanSound.Of(plan)) ? null : "sounds otherwise";
        }

        public string? Untidied(Compilation after) => after.Trees.FirstOrDefault(t => tidy.Contains(t.Source.Path) && !Tidy.Edits(t).IsEmpty)?.Source.Path;

        private static List<string> Codes(Compilation plan) => [.. plan.Findings.Select(f => f.Code).Order(StringComparer.Ordinal)];

        private static bool IsOfText(Finding finding) => finding.Code.StartsWith("PL01", StringComparison.Ordinal);

        private static string Said(Finding finding) => $"{finding.Code} {finding.Message}";
    }
}
