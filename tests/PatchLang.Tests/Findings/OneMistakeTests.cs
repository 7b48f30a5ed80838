using System.Text.RegularExpressions;
using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Tests.Library;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Findings;

/// <summary>One mistake is one finding, and what follows from it stays silent.</summary>
public sealed partial class OneMistakeTests
{
    private const string Folder = "lantern-quay/";

    private const string Gear = """
        format line { joins point_to_point  way one  time none }
        gear Player   { out play[4] : line }
        gear Recorder { in track[4] : line { recorder } }
        unit player : Player

        """;

    // The counts are those of the day they were written; fewer are welcome. A `use` brings many names, and each is missing by itself.
    [Fact]
    public void A_line_taken_out_of_the_festival_day_is_one_finding_nearly_always()
    {
        var day = Samples.Compile(Folder + "lantern-quay.rig");
        var counts = new List<(string Line, int Findings)>();
        foreach (var file in Samples.Files.Where(f => f.StartsWith(Folder, StringComparison.Ordinal)))
        {
            var lines = Samples.Read(file).Content.Split('\n');
            for (var i = 0; i < lines.Length; i++)
            {
                if (lines[i].Trim() is "" || lines[i].TrimStart().StartsWith("//", StringComparison.Ordinal)) continue;
                var changed = new SourceText(file[Folder.Length..], string.Join('\n', lines.Where((_, n) => n != i)));
                counts.Add((lines[i], day.With(changed).Findings.Length));
            }
        }

        counts.Should().HaveCountGreaterThan(200);
        counts.Where(c => c.Findings > 3 && !c.Line.StartsWith("use ", StringComparison.Ordinal)).Should().BeEmpty();
        counts.Count(c => c.Findings > 2).Should().BeLessThanOrEqualTo(6);
        counts.Count(c => c.Findings > 1).Should().BeLessThanOrEqualTo(15);
    }

    // The counts are those of the day they were written; fewer are welcome.
    [Theory]
    [InlineData("a sign", 3, 0)]
    [InlineData("a letter of its first word", 0, 0)]
    [InlineData("a letter of a name", 0, 0)]
    public void A_sign_or_letter_taken_out_of_the_festival_day_is_one_finding_nearly_always(string what, int moreThanOne, int moreThanTwo)
    {
        var day = Samples.Compile(Folder + "lantern-quay.rig");
        var counts = new List<(string Line, int Findings)>();
        foreach (var file in Samples.Files.Where(f => f.StartsWith(Folder, StringComparison.Ordinal)))
        {
            var lines = Samples.Read(file).Content.Split('\n');
            for (var i = 0; i < lines.Length; i++)
            {
                var places = PlacesIn(lines[i], what);
                if (places.Count == 0) continue;
                // One place of each line, another one in each.
                var line = lines[i].Remove(places[i % places.Count], 1);
                var changed = new SourceText(file[Folder.Length..], string.Join('\n', lines.Select((l, n) => n == i ? line : l)));
                counts.Add((line, day.With(changed).Findings.Length));
            }
        }

        counts.Should().HaveCountGreaterThan(20);
        counts.Where(c => c.Findings > 2).Select(c => c.Line).Should().HaveCountLessThanOrEqualTo(moreThanTwo);
        counts.Where(c => c.Findings > 1).Select(c => c.Line).Should().HaveCountLessThanOrEqualTo(moreThanOne);
    }

    public static TheoryData<string> WaysToSpoilAStatement => ["a letter less", "two letters swapped", " # old", " -- old", " ; old", " / old"];

    [Theory]
    [MemberData(nameof(WaysToSpoilAStatement))]
    public void A_statement_of_the_starter_plan_that_cant_be_read_is_one_finding(string way)
    {
        var starter = File.ReadAllText(Path.Combine(Samples.Root, "src", "PatchLang.Cli", "Starter", "plan.rig"));
        var lines = starter.Split('\n');
        var sound = Samples.Compile("ten-minutes/ten-minutes.rig", _ => starter);
        sound.Findings.Should().BeEmpty();
        for (var i = 0; i < lines.Length; i++)
        {
            var code = lines[i].Split("//")[0].TrimEnd();
            if (code is "" or "}" || code.StartsWith("    ->", StringComparison.Ordinal)) continue;
            var word = Word().Match(code);
            var end = word.Index + word.Length;
            var spoilt = way switch
            {
                "a letter less" => code.Remove(word.Index + 1, 1),
                "two letters swapped" => code[..(end - 2)] + code[end - 1] + code[end - 2] + code[end..],
                _ => code + way,
            };
            var text = string.Join('\n', lines.Select((l, n) => n == i ? spoilt : l));

            sound.With(new SourceText("ten-minutes.rig", text)).Findings.Should().ContainSingle($"`{spoilt}` is one mistake");
        }
    }

    [Fact]
    public void A_line_that_nobody_can_make_out_hides_nothing_of_what_is_declared() =>
        Compile(Gear + "the recorder is old\nunit recorder : Recorder\nfeed song : player.play[1] -> recorder.track[1]\n")
            .Findings.Select(f => f.Code).Should().Equal("PL0102", "PL0907");

    [Fact]
    public void A_statement_that_cant_be_read_hides_no_mistake_elsewhere() =>
        Compile(Gear + "unti recorder : Recorder\nfeed song : player.play[1] -> recorder.track[1]\nfeed hymn : player.play[2] -> desk.track[2]\nfeed air : player.play[9]\n")
            .Findings.Select(f => f.Code).Should().Equal("PL0102", "PL0201", "PL0301");

    // Each has one repair alone, so it is plain what is meant: the feed is there, and what is wrong beside it is told.
    [Theory]
    [InlineData("feed song Song : player.play[1] -> recorder.track[1]")]
    [InlineData("feed song player.play[1] -> recorder.track[1]")]
    [InlineData("feed song : player.play[1] recorder.track[1]")]
    [InlineData("feed song : player.play[1 -> recorder.track[1]")]
    [InlineData("feed song : player.play[1] -> recorder.track[1];")]
    [InlineData("feed song : player.play[1] -> recorder.track[1] { private")]
    public void A_statement_that_is_plainly_meant_is_bound(string feed) =>
        Compile(Gear + "unit recorder : Recorder\ncable player.play -> recorder.track : 5 m\nfeed hymn : player.play[2] -> recorder.track[1]\n" + feed + "\n")
            .Findings.Select(f => f.Code).Should().Contain(c => c.StartsWith("PL01", StringComparison.Ordinal)).And.HaveCount(2);

    [Theory]
    [InlineData("feed song : -> recorder.track[1]")]
    [InlineData("feed song -> recorder.track[1]")]
    [InlineData("feed song : player.play[1] -> recorder.")]
    public void A_statement_that_lacks_more_than_a_sign_is_unknown(string feed) =>
        Compile(Gear + "unit recorder : Recorder\ncable player.play -> recorder.track : 5 m\n" + feed + "\nexpect recorder.track[1] hears song\n")
            .Findings.Should().ContainSingle().Which.Code.Should().StartWith("PL01");

    [Theory]
    [InlineData("feed \"Song\" : player.play[1] -> recorder.track[1]\nexpect song never hears player.play[2]")]
    [InlineData("# feed song : player.play[2] -> recorder.track[1]\nfeed song : player.play[1] -> recorder.track[1]")]
    [InlineData("use \"library/desks.rig\"\nunit desk : Desk48\nact one\nact two\nfeed song : desk.local[1] -> desk.ch[1] during one\nfeed hymn : desk.local[2] -> desk.ch[1] during tow")]
    [InlineData("feed song : player.play[1] -> recorder.track[1] { gain = 34 db }")]
    [InlineData("use library/network.rig\nfeed song : player.play[1] -> recorder.track[1]")]
    [InlineData("unit rack : StageRack(8, 8)\nunit wedge : Wedge\nfeed song : player.play[1] -> recorder.track[1]")]
    public void One_mistake_is_one_finding(string text) =>
        Compile(Gear + "unit recorder : Recorder\ncable player.play -> recorder.track : 5 m\n" + text + "\n").Findings.Should().ContainSingle();

    [Fact]
    public void A_name_that_is_nowhere_is_found_at_its_first_use_and_shown_at_each()
    {
        const string text = Gear + "cable player.play -> recorder.track : 5 m\nfeed song : player.play[1] -> recorder.track[1]\nfeed hymn : player.play[2] -> recorder.track[2]\n";

        var finding = Compile(text).Findings.Should().ContainSingle().Subject;

        finding.Message.Should().Be("there is no unit called `recorder`, here and at 2 more places");
        finding.Related.Should().HaveCount(2);
        for (var at = text.IndexOf("recorder", StringComparison.Ordinal); at >= 0; at = text.IndexOf("recorder", at + 1, StringComparison.Ordinal))
            if (text[at + "recorder".Length] == '.')
                finding.PlaceIn(finding.Place.Source, new TextSpan(at, 0))!.Span.Start.Should().Be(at);
        finding.PlaceIn(finding.Place.Source, new TextSpan(0, 0)).Should().BeNull();
    }

    [Fact]
    public void Two_names_that_are_nowhere_are_two_findings() =>
        Compile(Gear + "feed song : player.play[1] -> rack.track[1]\nfeed hymn : player.play[2] -> desk.track[2]\nfeed air : player.play[3] -> rack.track[3]\n")
            .Findings.Select(f => f.Code).Should().Equal("PL0201", "PL0201");

    [Fact]
    public void A_name_misspelt_at_several_places_is_mended_at_all_of_them()
    {
        var text = Gear + "unit recorder : Recorder\ncable player.play -> recorder.track : 5 m\nfeed song : player.play[1] -> recoder.track[1]\nfeed hymn : player.play[2] -> recoder.track[2]\n";

        var fix = Compile(text).Findings.Should().ContainSingle().Which.Fixes.Should().ContainSingle().Subject;
        foreach (var edit in fix.Edits.OrderByDescending(e => e.Span.Start)) text = text.Remove(edit.Span.Start, edit.Span.Length).Insert(edit.Span.Start, edit.NewText);

        Compile(text).Findings.Should().BeEmpty();
    }

    /// <summary>The places of a line at which such a thing stands, outside of texts and remarks.</summary>
    private static List<int> PlacesIn(string line, string what)
    {
        var code = InQuotes().Replace(line, m => $"\"{new string(' ', m.Length - 2)}\"");
        if (code.IndexOf("//", StringComparison.Ordinal) is >= 0 and var remark) code = code[..remark];
        var words = Word().Matches(code).ToList();
        return what switch
        {
            "a letter of its first word" => [.. words.Take(1).Select(w => w.Index + 1)],
            "a letter of a name" => [.. words.Skip(1).Select(w => w.Index + w.Length - 1)],
            _ => [.. code.Select((c, at) => (c, at)).Where(p => "{}\",:=".Contains(p.c)).Select(p => p.at)],
        };
    }

    private static Compilation Compile(string text) =>
        Compilation.Create(new SourceText("quay.rig", text), _ => FileReading.Failed(FileProblem.NotFound));

    [GeneratedRegex("\"[^\"]*\"")]
    private static partial Regex InQuotes();

    [GeneratedRegex(@"[A-Za-z_]\w{2,}")]
    private static partial Regex Word();
}
