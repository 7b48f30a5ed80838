using System.Globalization;
using System.Text;
using FluentAssertions;
using PatchLang.Benchmarks;
using PatchLang.Findings;
using PatchLang.Tests.Library;
using PatchLang.Text;
using Xunit;
using static System.FormattableString;

namespace PatchLang.Tests.Incremental;

/// <summary>Whatever is kept from text to text: a compilation that came to its text by edits says what one says that was made of that text alone.</summary>
public sealed class EditedLikeFreshTests
{
    // What breaks what it lands in, and what is a statement.
    private static readonly string[] Pieces =
    [
        "\n", " ", "\"", "}", "{ ", "/*", "*/", "->", "1", "x", "[1..3]", " { public }", " { phantom }", " { delay = 2 ms }", " { level = -20 dBu }", " during any except tide",
        "act tide\n", "rate 96 kHz\n", "allow PL0907 \"meant\"\n", "expect lead latency <= 5 ms\n", "bundle all : lead, band\n", "feed lead : nowhere.at[1] -> all\n",
    ];

    /// <summary>So many edits of each plan; <c>PATCHLANG_EDITS</c> asks for more, for a long run.</summary>
    private static readonly int Count = int.TryParse(Environment.GetEnvironmentVariable("PATCHLANG_EDITS"), CultureInfo.InvariantCulture, out var asked) ? asked / 40 : 10;

    public static TheoryData<string> Groups => [.. Directory.EnumerateDirectories(Plans).Select(d => Path.GetFileName(d)!).Order(StringComparer.Ordinal)];

    private static string Plans => Path.Combine(Samples.Root, "tests", "Conformance", "plans");

    [Theory]
    [MemberData(nameof(Groups))]
    public void Plans_of_each_sort_edited_at_random(string group)
    {
        foreach (var file in Directory.EnumerateFiles(Path.Combine(Plans, group), "*.rig", SearchOption.AllDirectories).Order(StringComparer.Ordinal))
        {
            if (!IsText(File.ReadAllBytes(file))) continue;
            Edit(File.ReadAllText(file), Count, Seed(file));
        }

        // Broken text is a case of its own, which no edit leads to.
        static bool IsText(byte[] bytes) => bytes.Length < 20_000 && Encoding.UTF8.GetString(bytes).IndexOf('\uFFFD', StringComparison.Ordinal) < 0;
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void A_plan_of_many_signals_edited_at_random(int seed) => Edit(ManySignals(), 8 * Count, seed);

    // The comma makes `rig` a word of what stands before it: the statement is the same, and is the plan's title no more.
    [Fact]
    public void A_title_that_the_line_before_it_takes_for_itself_is_none()
    {
        var before = new SourceText("quay.rig", "sum(lead rig \"Lantern Quay\"\nrate 48 kHz\n");
        var compilation = Compilation.Create(before, _ => FileReading.Failed(FileProblem.NotFound));
        compilation.Title.Should().Be("Lantern Quay");

        compilation.With(before.With(new TextChange(new TextSpan(8, 0), ","))).Title.Should().BeNull();
    }

    [Fact]
    public void A_plan_with_findings_at_each_line_edited_at_random() =>
        Edit(GeneratedPlan.Text(1_000).Replace("recorder", "mic", StringComparison.Ordinal), Count, 3);

    [Theory]
    [InlineData(4)]
    [InlineData(5)]
    public void What_is_asked_late_is_said_of_its_own_text(int seed)
    {
        var random = new Random(seed);
        var original = ManySignals();
        var texts = new List<string> { original };
        var edited = new List<Compilation> { Fresh(original) };
        for (var i = 0; i < 4 * Count; i++)
        {
            texts.Add(Edited(texts[^1], original, random));
            edited.Add(edited[^1].With(new SourceText("plan.rig", texts[^1])));
        }

        for (var i = 0; i < texts.Count; i++) Said(edited[i]).Should().Be(Said(Fresh(texts[i])), "{0} edits with seed {1} led to\n{2}", i, seed, texts[i]);
    }

    /// <summary>Enough signals for several pages of them: chains, sums, alternatives, inserts, lines that meet.</summary>
    private static string ManySignals()
    {
        var text = new StringBuilder("""
            rig "Lantern Quay"
            rate 48 kHz
            act tide
            act bells after tide
            format line { joins point_to_point  way one  time none  medium copper up to 100 m }
            gear Rack(n) "rack" { in mic[n] : line { phantom level = mic }  out out[n] : line { level = line }  route mic -> out fixed  clock main { accuracy = 10 ppm from internal } }
            gear Desk(n) "desk" { in in[n] : line  strip ch[n]  bus mix[8]  out main[8] : line  route in -> ch free  route ch -> mix free  route mix -> main fixed  latency ch -> mix 1 ms  clock main { accuracy = 10 ppm from internal } }
            gear Ear "ear" { in in[2] : line { listener monitor = in_ear } }
            unit rack : Rack(400) "Rack"
            unit desk : Desk(400) "Desk"
            unit ear[1..4] : Ear "Ear"
            feed lead "Lead" : rack.out[1] -> desk.in[1] -> desk.ch[1] { voice performer = ana }
            feed band[1..4] : rack.out[2..5] -> desk.in[2..5] -> desk.ch[2..5]

            """);
        for (var i = 6; i <= 390; i++)
            text.Append(i % 7 == 0 ? Invariant($"feed s{i} \"S {i}\" : s{i - 1} before fader -> desk.mix[{i % 8 + 1}] during tide\n")
                : i % 11 == 0 ? Invariant($"feed s{i} : rack.mic[{i}] -> rack.out[{i}]\n")
                : Invariant($"feed s{i} \"S {i}\" : rack.out[{i}] -> desk.in[{i}] -> desk.ch[{i}]\n"));
        text.Append("feed mix : sum(lead, band, either(s8, s9)) -> desk.mix[1] -> desk.main[1] -> ear[1].in[1] { performer = ana }\nfeed house : sum(lead after fader, s10 after fader) -> desk.mix[2] -> desk.main[2] { public }\n");
        return text.Append("insert desk.ch[1] : desk.main[8] -> desk.in[399]\nexpect mix hears lead\nexpect house never hears s12\n").ToString();
    }

    private static void Edit(string original, int count, int seed)
    {
        var random = new Random(seed);
        var text = original;
        var edited = Fresh(text);
        for (var i = 0; i < count; i++)
        {
            text = Edited(text, original, random);
            edited = edited.With(new SourceText("plan.rig", text));
            Said(edited).Should().Be(Said(Fresh(text)), "{0} edits with seed {1} led to\n{2}", i + 1, seed, text);
        }
    }

    private static Compilation Fresh(string text) => Compilation.Create(new SourceText("plan.rig", text), GeneratedPlan.NoFiles);

    private static string Edited(string text, string original, Random random)
    {
        var lines = text.Split('\n').ToList();
        // Mostly signals: they are what is kept one by one.
        var signals = Enumerable.Range(0, lines.Count).Where(i => lines[i].StartsWith("feed ", StringComparison.Ordinal) || lines[i].StartsWith("bundle ", StringComparison.Ordinal)).ToArray();
        var line = signals.Length > 0 && random.Next(4) > 0 ? signals[random.Next(signals.Length)] : random.Next(lines.Count);
        var words = text.Split([' ', '\n'], StringSplitOptions.RemoveEmptyEntries);
        var at = random.Next(lines[line].Length + 1);
        switch (random.Next(9))
        {
            case 0:
                lines.RemoveAt(line);
                break;
            case 1:
                lines.Insert(random.Next(lines.Count + 1), lines[line]);
                break;
            case 2:
                var parts = lines[line].Split(' ');
                parts[random.Next(parts.Length)] = words.Length == 0 ? "" : words[random.Next(words.Length)];
                lines[line] = string.Join(' ', parts);
                break;
            case 3:
                lines[line] = lines[line].Remove(at, Math.Min(random.Next(1, 3), lines[line].Length - at));
                break;
            case 4:
                lines[line] = lines[line].Replace(" : ", "2 : ", StringComparison.Ordinal);
                break;
            case 5:
                lines[line] = lines[line].TrimEnd() + Pieces[random.Next(Pieces.Length)];
                break;
            case 6:
                var other = signals.Length > 0 ? signals[random.Next(signals.Length)] : random.Next(lines.Count);
                (lines[line], lines[other]) = (lines[other], lines[line]);
                break;
            case 7:
                return original; // back to what made sense
            default:
                lines[line] = lines[line].Insert(at, Pieces[random.Next(Pieces.Length)]);
                break;
        }
        return string.Join('\n', lines);
    }

    /// <summary>All that a compilation says of its text: what is found, with its mends, each hop, and each promise.</summary>
    private static string Said(Compilation compilation)
    {
        var text = new StringBuilder();
        foreach (var finding in compilation.Findings)
        {
            text.Append(CultureInfo.InvariantCulture, $"{finding.Code} {finding.Severity} {Where(finding.Place)} {finding.Message}");
            foreach (var related in finding.Related) text.Append(CultureInfo.InvariantCulture, $" | {Where(related)} {related.Remark}");
            foreach (var fix in finding.Fixes) text.Append(CultureInfo.InvariantCulture, $" + {fix.Title}: {string.Join(", ", fix.Edits.Select(e => $"{e.Span.Start}+{e.Span.Length} {e.NewText}"))}");
            text.Append('\n');
        }
        var graph = compilation.Graph;
        for (var edge = 0; edge < graph.EdgeCount; edge++)
            text.Append(CultureInfo.InvariantCulture, $"{graph.FromOf(edge)} -> {graph.ToOf(edge)} {graph.HopOf(edge).Kind} {graph.ActsOf(edge).Bits} {graph.FeedOf(edge)?.Name} {graph.OwnerOf(edge)} {compilation.PlaceOf(edge).Span.Start}\n");
        for (var node = 0; node < graph.NodeCount; node++)
            if (graph.IsUsed(node)) text.Append(CultureInfo.InvariantCulture, $"{node}: {string.Join(' ', graph.Into(node).ToArray())} / {string.Join(' ', graph.OutOf(node).ToArray())}\n");
        foreach (var expectation in compilation.Expectations) text.Append(expectation).Append('\n');
        return text.ToString();
    }

    private static string Where(Place place) => Invariant($"{place.Source.Path} {place.Span.Start}+{place.Span.Length}");

    private static int Seed(string file)
    {
        var seed = 17;
        foreach (var letter in Path.GetFileName(file)) seed = unchecked(seed * 31 + letter);
        return seed;
    }
}
