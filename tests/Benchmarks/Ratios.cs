using System.Diagnostics;
using PatchLang.Facts;
using PatchLang.Outputs.Comparison;
using PatchLang.Outputs.Drawings;
using PatchLang.Outputs.Drawings.Writers;
using PatchLang.Outputs.Formats;
using PatchLang.Outputs.Sheets;
using PatchLang.Syntax;
using PatchLang.Text;
using static System.FormattableString;

namespace PatchLang.Benchmarks;

/// <summary>
/// The measures that the project promises, in one run of a minute or so. A ratio within one run says more than a time,
/// since machines differ and others use them.
/// </summary>
internal static class Ratios
{
    private const int Runs = 9;
    private const int Edits = 200;

    private static readonly TimeSpan WarmUp = TimeSpan.FromSeconds(1.5);

    /// <summary>Measures, and prints a table.</summary>
    public static void Print(TextWriter output)
    {
        output.WriteLine(Invariant($"{"what",-52} {"median ms",10} {"least ms",10} {"MB",9}  ratio"));
        var text = GeneratedPlan.Text(10_000);
        var plain = Measure(Runs, () => PlainParser.Statements(text));
        var byShape = Measure(Runs, () => SyntaxTree.Parse(new SourceText("plan.rig", text)).Count);
        var fromNothing = Measure(Runs, () => SyntaxTree.Parse(new SourceText("plan.rig", text), new ShapeCache()).Count);
        Row("read 10,000 feeds with ANTLR's own lexer and parser", plain);
        Row("read 10,000 feeds by shape", byShape, Invariant($"{plain.Median / byShape.Median:0.0} times as fast as plain"));
        Row("read 10,000 feeds by shape, no shape known", fromNothing, Invariant($"{plain.Median / fromNothing.Median:0.0} times as fast as plain"));

        var smaller = default(Measured);
        foreach (var feeds in (int[])[1_000, 10_000, 100_000])
        {
            var plan = GeneratedPlan.Text(feeds);
            var compiled = Measure(feeds > 10_000 ? 5 : Runs, () => GeneratedPlan.Compile(plan).Findings.Length);
            Row(Invariant($"compile {feeds:N0} feeds, {plan.Length / 1e6:0.0} MB of text"), compiled,
                smaller.Median > 0 ? Invariant($"{compiled.Median / smaller.Median:0.0} times the size below") : "");
            smaller = compiled;
        }

        var sixty = GeneratedPlan.Compile(RandomRig.Text(60, 11));
        var regatta = GeneratedPlan.Compile(LargePlan.Write());
        var compiledAgain = Measure(Runs, () => GeneratedPlan.Compile(LargePlan.Write()).Findings.Length);
        var drawn = Measure(Runs, () => Draw(regatta));
        Row("draw a rig of 60 units, laid out, as SVG", Measure(Runs, () => Draw(sixty)));
        Row("draw 10,000 feeds on 100 stages, laid out, as SVG", drawn, Invariant($"{drawn.Median / compiledAgain.Median:0.0} times its compiling"));
        var (moved, changed) = (ChangedPlan.WithOneMove(), ChangedPlan.WithAllChanged());
        Compared("nothing changed", regatta);
        Compared("one microphone moved", moved);
        Compared("everything changed", changed);
        Row("compare 10,000 feeds, drawn with what changed", Measure(3, () => SvgWriter.Write(ChangeDrawing.Of(PlanChanges.Between(regatta, moved))).Length));

        var chains = DeepRig.Text(DeepRig.Feeds);
        var deep = GeneratedPlan.Compile(chains);
        var facts = Measure(Runs, () => Worked(new SignalFacts(deep.Graph)));
        var half = GeneratedPlan.Compile(DeepRig.Text(DeepRig.Feeds / 2));
        var halfFacts = Measure(Runs, () => Worked(new SignalFacts(half.Graph)));
        Row(Invariant($"facts of {half.Graph.EdgeCount:N0} hops, 20 deep, sums of 1,000"), halfFacts);
        Row(Invariant($"facts of {deep.Graph.EdgeCount:N0} hops, 20 deep, sums of 2,000"), facts, Invariant($"{facts.Median / halfFacts.Median:0.0} times the half"));

        var compiledPlan = GeneratedPlan.Compile(text);
        var set = SheetList.Of(compiledPlan, "plan.rig", "1", "today");
        Row(Invariant($"sheets of 10,000 feeds, all {set.Sheets.Length:N0}"), Measure(3, () => SheetList.Of(GeneratedPlan.Compile(text), "plan.rig", "1", "today").Sheets.Length));
        foreach (var format in Enum.GetValues<SheetFormat>())
            Row($"and written as {format}", Measure(3, () => SheetFiles.Of(set, format).Length));

        Row("change a label in 10,000 feeds, to the findings", Measure(Edits, EditedPlan.AtLabel(text, 5_000).Type));
        Row("change a hop in 10,000 feeds, to the findings", Measure(Edits, EditedPlan.AtHop(text, 5_000).Type));

        // Facts are worked out when they are asked for: here all of them are, the delays, the order, what rejoins, arrivals and levels.
        static int Worked(SignalFacts facts) =>
            facts.Views.Sum(v => v.Order.Count + v.Rejoining.Length + (v.ArrivalAtPlace(v.Order.PlaceCount - 1).IsKnown ? 1 : 0) + v.Levels.Clips.Count);

        void Compared(string what, Compilation with)
        {
            var compared = Measure(Runs, () => ChangedPlan.Lines(regatta, with));
            Row($"compare 10,000 feeds, {what}", compared, Invariant($"{compared.Median / compiledAgain.Median:0.0} times compiling one of them"));
        }

        void Row(string what, Measured measured, string ratio = "") =>
            output.WriteLine(Invariant($"{what,-52} {measured.Median,10:0.00} {measured.Least,10:0.00} {measured.Megabytes,9:0.00}  {ratio}"));
    }

    private static int Draw(Compilation plan) => SvgWriter.Write(RigDrawing.Of(plan, plan.Rig.AllActs)).Length;

    private static Measured Measure(int runs, Func<int> action)
    {
        // The runtime compiles what runs often a second time, better, and in the background.
        var sink = 0;
        for (var warm = Stopwatch.GetTimestamp(); Stopwatch.GetElapsedTime(warm) < WarmUp;) sink += action();
        var times = new double[runs];
        var allocated = GC.GetTotalAllocatedBytes(precise: true);
        for (var run = 0; run < runs; run++)
        {
            var start = Stopwatch.GetTimestamp();
            sink += action();
            times[run] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
        }
        allocated = GC.GetTotalAllocatedBytes(precise: true) - allocated;
        GC.KeepAlive(sink);
        Array.Sort(times);
        return new Measured(times[runs / 2], times[0], allocated / 1e6 / runs);
    }

    /// <param name="Median">In milliseconds.</param>
    /// <param name="Least">In milliseconds.</param>
    /// <param name="Megabytes">Allocated, in the mean.</param>
    private readonly record struct Measured(double Median, double Least, double Megabytes);
}
