using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Tests.Library;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Findings;

/// <summary>One mistake is one finding, and what follows from it stays silent.</summary>
public sealed class OneMistakeTests
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
        counts.Where(c => c.Findings > 4 && !c.Line.StartsWith("use ", StringComparison.Ordinal)).Should().BeEmpty();
        counts.Count(c => c.Findings > 2).Should().BeLessThanOrEqualTo(13);
        counts.Count(c => c.Findings > 1).Should().BeLessThanOrEqualTo(47);
    }

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

    private static Compilation Compile(string text) =>
        Compilation.Create(new SourceText("quay.rig", text), _ => FileReading.Failed(FileProblem.NotFound));
}
