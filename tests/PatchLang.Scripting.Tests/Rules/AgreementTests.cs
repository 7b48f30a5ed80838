using System.Collections.Immutable;
using System.Text;
using CsCheck;
using FluentAssertions;
using PatchLang.Scripting.Model;
using PatchLang.Scripting.Protocol;
using PatchLang.Scripts;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Scripting.Tests.Rules;

/// <summary>
/// Two of the compiler's checks, written again as rules: one from the text of the feeds and the counts of the ports, one from the hops
/// at each channel. They look at the plan by other ways than the checks do, and have to find the same lines.
/// </summary>
public sealed class AgreementTests
{
    private const string Overrun = """
        // A channel, written in a feed, that the port does not have.
        foreach (var feed in Rig.Feeds)
        {
            var text = Regex.Replace(Rig.StatementOf(feed).Text, "\"[^\"]*\"|//[^\n]*", " ");
            foreach (Match path in Regex.Matches(text, @"(?<unit>\w+(\[\w+\])?(\.\w+)*)\.(?<port>\w+)\[(?<numbers>[\d., ]+)\]"))
            {
                if (Rig.Unit(path.Groups["unit"].Value)?.Port(path.Groups["port"].Value) is not { } port) continue;
                var most = port.Channels.Select(c => c.Number).DefaultIfEmpty().Max();
                var last = Regex.Matches(path.Groups["numbers"].Value, @"\d+").Max(n => int.Parse(n.Value));
                if (last > most) Finding(feed, $"{port} has {most} channels, and is to have a channel {last}", Severity.Error);
            }
        }
        """;

    private const string Conflict = """
        // Two hops that lead to one channel at one time, from two channels; buses take any number.
        foreach (var channel in Rig.Channels.Where(c => c.Port.Kind != PortKind.Bus))
        {
            var hops = channel.ArrivesBy.Where(h => h.Feed.Kind != FeedKind.Insert).OrderBy(h => h.Place.File).ThenBy(h => h.Place.Start).ToList();
            for (var later = 1; later < hops.Count; later++)
                if (hops.Take(later).Any(h => h.From != hops[later].From && h.During.Overlaps(hops[later].During) && !h.IsAlternativeTo(hops[later])))
                    Finding(hops[later], $"{channel} is driven twice", Severity.Error);
        }
        """;

    private static readonly Lazy<Func<Compilation, HashSet<string>>> OverrunLines = new(() => Compile(Overrun));
    private static readonly Lazy<Func<Compilation, HashSet<string>>> ConflictLines = new(() => Compile(Conflict));

    public static TheoryData<string> Samples =>
        [.. Directory.EnumerateFiles(Path.Combine(SamplePlans.Root, "samples"), "*.rig", SearchOption.AllDirectories)
            .Where(f => File.ReadLines(f).Any(l => l.StartsWith("rig ", StringComparison.Ordinal)) && new FileInfo(f).Length < 1 << 20)
            .Select(f => Path.GetRelativePath(Path.Combine(SamplePlans.Root, "samples"), f).Replace('\\', '/'))];

    /// <summary>Plans of one desk with feeds by chance: numbers past the end, strips driven twice, in three acts.</summary>
    private static Gen<string> RandomPlans { get; } =
        Gen.Select(Gen.Int[1, 18], Gen.Int[0, 3], Gen.Int[1, 14], Gen.Int[0, 3], Gen.Int[0, 10]).Array[1, 14].Select(feeds =>
        {
            var text = new StringBuilder("""
                format line { joins point_to_point  way one  time none }
                gear Desk { in line[16] : line  strip ch[12]  bus mix[4]  out out[8] : line { listener }  route line -> ch free  route ch -> mix free  route ch, mix -> out free }
                unit desk : Desk
                act one
                act two after one
                act three after two

                """);
            for (var i = 0; i < feeds.Length; i++)
            {
                var (line, width, strip, act, sort) = feeds[i];
                var during = act == 0 ? "" : " during " + new[] { "one", "two", "three" }[act - 1];
                if (sort == 0 && i > 1) text.Append($"feed f{i} : either(desk.line[{line}], desk.line[{line % 16 + 1}]) -> desk.ch[{strip}]{during}\n");
                else if (width == 0) text.Append($"feed f{i} : desk.line[{line}] -> desk.ch[{strip}]{during}\n");
                else text.Append($"feed f{i}[1..{width + 1}] : desk.line[{line}..{line + width}] -> desk.ch[{strip}..{strip + width}]{during}\n");
            }
            return text.ToString();
        });

    [Theory]
    [MemberData(nameof(Samples))]
    public void The_rules_and_the_compiler_find_the_same_in_the_samples(string sample) => ShouldAgree(SamplePlans.Compile(sample));

    [Fact]
    public void The_rules_and_the_compiler_find_the_same_in_any_plan()
    {
        var (overruns, conflicts) = (0, 0);
        RandomPlans.Sample(text =>
        {
            var plan = Compilation.Create(new SourceText("plan.rig", text), _ => FileReading.Failed(FileProblem.NotFound));
            var (o, c) = ShouldAgree(plan);
            Interlocked.Add(ref overruns, o);
            Interlocked.Add(ref conflicts, c);
        }, iter: 150, threads: 1);
        overruns.Should().BePositive("plans by chance have such mistakes");
        conflicts.Should().BePositive("plans by chance have such mistakes");
    }

    private static (int Overruns, int Conflicts) ShouldAgree(Compilation plan)
    {
        var (overruns, conflicts) = (LinesOf(plan, "PL0301", "PL0302"), ConflictLines.Value(plan));
        // Of many alike the compiler names the first few, and how many more there are.
        if (plan.Findings.Any(f => f.Message.EndsWith("more places", StringComparison.Ordinal))) overruns.Should().BeSubsetOf(OverrunLines.Value(plan));
        else OverrunLines.Value(plan).Should().BeEquivalentTo(overruns, "of {0}", plan.Trees[0].Source.Content);
        // A conflict of several feeds with one of them is told at that one, with the places of the others beside it.
        var told = plan.Findings.Where(f => f.Code == "PL0306").Select(f => f.Related.Prepend(f.Place).Select(p => LineOf(plan, p.Source.Path, p.Span.Start)).ToHashSet()).ToList();
        conflicts.Should().BeSubsetOf(told.SelectMany(lines => lines), "of {0}", plan.Trees[0].Source.Content);
        told.Where(lines => !lines.Overlaps(conflicts)).Should().BeEmpty("of {0}", plan.Trees[0].Source.Content);
        return (overruns.Count, conflicts.Count);
    }

    private static HashSet<string> LinesOf(Compilation plan, params string[] codes) =>
        [.. plan.Findings.Where(f => codes.Contains(f.Code)).SelectMany(f => f.Related.Where(r => r.Remark == "and here").Prepend(f.Place)).Select(p => LineOf(plan, p.Source.Path, p.Span.Start))];

    private static string LineOf(Compilation plan, string path, int offset)
    {
        // By statement: a finding stands at a channel, the rule's at a name, and a feed may take several lines.
        var tree = plan.Trees.Single(t => t.Source.Path == path);
        return $"{path}:{tree.Source.PositionOf(tree.StartOf(tree.IndexAt(offset))).Line + 1}";
    }

    /// <summary>Compiles a rule once, and gives what runs it here, in this process: hundreds of plans would take minutes otherwise.</summary>
    private static Func<Compilation, HashSet<string>> Compile(string script)
    {
        var rule = new RuleText(Path.Combine(Path.GetTempPath(), "agreement.csx"), script, null, [], []);
        var (program, faults) = RuleCompiler.Compile(rule);
        faults.Select(f => f.Message).Should().BeEmpty();
        return plan =>
        {
            var reply = RuleRun.Of(program!, rule, 0, Rig.Of(plan));
            reply.Faults.Select(f => f.Message).Should().BeEmpty();
            return [.. reply.Found.Select(f => LineOf(plan, f.Place.Path, f.Place.Start))];
        };
    }
}
