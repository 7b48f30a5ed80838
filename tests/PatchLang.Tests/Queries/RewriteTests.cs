using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Formatting;
using PatchLang.Queries;
using PatchLang.Syntax;
using PatchLang.Tests.Library;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Queries;

/// <summary>What is written in other words is the same plan; what was missing is missed no more.</summary>
public sealed class RewriteTests
{
    private const string Gear = """
        format line { joins point_to_point  way one  time none  medium twisted_pair up to 100 m }
        format quay_net { joins switched  way both  channels 64 at 48 kHz  time shared  medium utp up to 100 m }
        gear Rack(mics) "rack" {
          in    mic[mics] : line
          port  net       : quay_net { in 64  out 64 }
          route mic -> net fixed
          clock main { accuracy = 10 ppm  from internal, net }
        }
        gear Desk "desk" {
          strip ch[8]
          slot  expansion : desk_card
          route any -> ch free
          clock main { accuracy = 10 ppm  from internal, expansion }
        }
        card NetCard(channels) for desk_card {
          port  net : quay_net { in channels  out channels }
          clock main { accuracy = 20 ppm  from internal, host, net }
        }
        gear Wedge { in line : line { recorder } }

        """;

    [Theory]
    [InlineData("lantern-quay/lantern-quay.rig")]
    [InlineData("studio-without-desk/studio-without-desk.rig")]
    [InlineData("ten-minutes/ten-minutes.rig")]
    public void A_sample_in_other_words_is_the_same_plan(string path)
    {
        var plan = Samples.Compile(path);
        var sound = Sound(plan);
        var made = new Dictionary<RewriteSort, int>();
        foreach (var tree in plan.Trees.Where(t => !t.Source.IsLibrary))
        {
            var wasTidy = Tidy.Edits(tree).IsEmpty;
            foreach (var rewrite in RewritesIn(plan, tree))
            {
                made[rewrite.Sort] = made.GetValueOrDefault(rewrite.Sort) + 1;
                var after = Applied(plan, rewrite);
                Sound(after).Should().Equal(sound, "{0} in {1}", rewrite.Title, tree.Source.Path);
                after.Findings.Select(f => f.Code).Order(StringComparer.Ordinal).Should().Equal(plan.Findings.Select(f => f.Code).Order(StringComparer.Ordinal), "{0} in {1}", rewrite.Title, tree.Source.Path);
                if (wasTidy) after.Trees.Where(t => !t.Source.IsLibrary).SelectMany(t => Tidy.Edits(t)).Should().BeEmpty("{0} leaves {1} tidy", rewrite.Title, tree.Source.Path);
            }
        }
        made.Should().ContainKey(RewriteSort.Rewriting).WhoseValue.Should().BeGreaterThan(10);
        made.Should().ContainKey(RewriteSort.Extraction).And.NotContainKey(RewriteSort.Addition);
    }

    [Theory]
    [InlineData("feed lead : rack.mic[1] -> desk.ex$pansion.net[1] -> desk.ch[1]", "write out", "feed lead : rack.mic[1] -> rack.net[1] -> desk.expansion.net[1] -> desk.ch[1]")]
    [InlineData("feed row[1..3] : rack.mic[1..$3] -> desk.expansion.net[1..3] -> desk.ch[1..3]", "spell", "feed row[1..3] : rack.mic[1, 2, 3] -> desk.expansion.net[1..3] -> desk.ch[1..3]")]
    [InlineData("feed row[1..4] : rack.mic[1, 2, $3, 5] -> desk.expansion.net[1, 2, 3, 5] -> desk.ch[1..4]", "fold", "feed row[1..4] : rack.mic[1..3, 5] -> desk.expansion.net[1, 2, 3, 5] -> desk.ch[1..4]")]
    public void A_statement_is_written_in_other_words(string marked, string title, string expected)
    {
        var (plan, tree, within) = Marked(marked);
        var after = Applied(plan, Rewrite.In(plan.Queries, plan.Findings, tree, within, []).Single(r => r.Title.StartsWith(title, StringComparison.Ordinal)));
        after.Trees[0].Source.Content.Should().Contain(expected).And.NotContain("$");
        Sound(after).Should().Equal(Sound(plan));
    }

    [Theory]
    [InlineData("desk.send[1] -> desk.line[8]", "desk.send[1] -> echo.from -> echo.to -> desk.line[8]")]
    [InlineData("desk.send[1] -> echo.to -> desk.line[8]", "desk.send[1] -> echo.from -> echo.to -> desk.line[8]")]
    [InlineData("desk.send[1] -> echo.from -> echo.to -> desk.line[8]", null)]
    public void The_way_of_an_insert_is_written_out(string way, string? expected)
    {
        var text = $$"""
            format line { joins point_to_point  way one  time none  medium twisted_pair up to 100 m }
            gear Desk { strip ch[4]  in line[8] : line  out send[4] : line  route line -> ch free  route ch -> send free }
            gear Echo { in from : line  out to : line  route from -> to fixed }
            unit desk : Desk
            unit echo : Echo
            cable desk.send[1] -> echo.from
            cable echo.to -> desk.line[8]
            feed lead : desk.line[1] -> desk.ch[1]
            insert desk.ch[1] "Tape echo" : {{way}}

            """;
        var plan = Plan(text);
        plan.Findings.Should().NotContain(f => f.Severity == Severity.Error);
        var rewrites = Rewrite.In(plan.Queries, plan.Findings, plan.Trees[0], new TextSpan(text.IndexOf("insert", StringComparison.Ordinal), 0), []).ToList();
        if (expected is null)
        {
            rewrites.Should().BeEmpty();
            return;
        }
        var rewrite = rewrites.Should().ContainSingle().Subject;
        rewrite.Title.Should().Be("write out the way of the insert at desk.ch[1]");
        var after = Applied(plan, rewrite);
        after.Trees[0].Source.Content.Should().Contain($"insert desk.ch[1] \"Tape echo\" : {expected}\n");
        Sound(after).Should().Equal(Sound(plan));
    }

    [Theory]
    [InlineData("feed lead : ra$ck2.mic[1] -> desk.expansion.net[1] -> desk.ch[1]", "declare unit rack2, a Rack(8)", "unit rack2 : Rack(8)")]
    [InlineData("feed lead : rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1]\nbundle band : lead, cho$ir", "declare feed choir, from rack.mic[2]", "feed choir : rack.mic[2]")]
    [InlineData("feed lead : rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1] during ti$de", "declare act tide", "act tide")]
    [InlineData("unit wedge[1..3] : Wedge\ngear Amp { out line[3] : line }\nunit amp : Amp\ncable amp.line[1..3] -> wedge.line : r$ed[1..3]", "declare loom red", "loom red : 3 ways")]
    [InlineData("unit stage : Stage$Rack(16, 8)", "use \"library/stage.rig\", which has StageRack", "use \"library/stage.rig\"")]
    [InlineData("unit d : Desk \"Second\"\nfeed lead : rack.mic[1] -> d.expan$sion.net[12] -> d.ch[1]", "fit NetCard(12) in d.expansion", "unit d : Desk \"Second\" { expansion = NetCard(12) }")]
    [InlineData("unit box : Lift$Box(4)\ncable box.direct[1..4] -> rack.mic[1..4]", "declare gear LiftBox, as it is used", "out direct[direct_count] : line")]
    [InlineData("unit d : Desk { expansion = Aes$Card(4) }\nfeed lead : rack.mic[1] -> d.expansion.line[4] -> d.ch[1]", "declare card AesCard, as it is used", "card AesCard(line_count) for desk_card {")]
    [InlineData("unit d : Desk { expansion = Ring$Card(16) }\nnetwork ring : quay_net { join d.expansion.ring }\nfollow d.expansion from host", "declare card RingCard, as it is used", "port ring : quay_net { in ring_count out ring_count }")]
    [InlineData("unit d : Desk { expansion = Spare$Card }", "declare card SpareCard, as it is used", "card SpareCard for desk_card { }")]
    [InlineData("feed lead : rack.ta$lk[2] -> rack.net[1]", "give Rack an in, talk[2]", "in talk[2] : line")]
    public void What_is_missing_is_written(string marked, string title, string expected)
    {
        var (plan, tree, within) = Marked(marked);
        plan.Findings.Should().Contain(f => f.Code == "PL0201");
        var rewrites = Rewrite.In(plan.Queries, plan.Findings, tree, within, []).ToList();
        rewrites.Select(r => r.Title).Should().Contain(title);
        var rewrite = rewrites.Single(r => r.Title == title);
        rewrite.Mends!.Code.Should().Be("PL0201");
        var after = Applied(plan, rewrite);
        // Columns are the business of the tidying.
        after.Trees[0].Source.Content.Split('\n').Select(l => string.Join(' ', l.Split(' ', StringSplitOptions.RemoveEmptyEntries))).Should().Contain(expected);
        after.Findings.Should().NotContain(f => f.Code == "PL0201" || f.Code.StartsWith("PL01", StringComparison.Ordinal));
    }

    [Fact]
    public void A_file_that_could_be_taken_in_is_proposed_by_its_path()
    {
        var (plan, tree, within) = Marked("unit mon : Crew$Box");
        var other = SyntaxTree.Parse(new SourceText("crew.rig", "gear CrewBox { in line : line }\n"));
        Rewrite.In(plan.Queries, plan.Findings, tree, within, [new UsableFile("parts/crew.rig", other)]).Select(r => r.Title).Should().Equal("use \"parts/crew.rig\", which has CrewBox");
    }

    [Fact]
    public void Gear_of_its_own_stands_in_the_unit_s_file_with_its_documentation()
    {
        const string text = "use \"library/stage.rig\"\nunit rack : StageRack(16, 8)\n";
        var plan = Plan(text);
        var at = text.IndexOf("StageRack", StringComparison.Ordinal) + 2;

        var rewrite = Rewrite.In(plan.Queries, plan.Findings, plan.Trees[0], new TextSpan(at, 0), []).Single();
        rewrite.Title.Should().Be("write gear of its own for rack: OwnStageRack");
        var after = Applied(plan, rewrite);
        after.Trees[0].Source.Content.Should().Contain("unit rack : OwnStageRack(16, 8)").And.Contain("\ngear OwnStageRack(").And.Contain("\n/// ");
        after.Rig.Devices.Single().Model.Gear.File.IsLibrary.Should().BeFalse();
        after.Findings.Select(f => f.Code).Should().Equal(plan.Findings.Select(f => f.Code));
    }

    [Fact]
    public void Text_that_is_not_tidy_keeps_its_white_space()
    {
        var (plan, tree, within) = Marked("feed lead :   rack.mic[1] ->   desk.ex$pansion.net[1] -> desk.ch[1]");
        Applied(plan, Rewrite.In(plan.Queries, plan.Findings, tree, within, []).First(r => r.Title.StartsWith("write out", StringComparison.Ordinal))).Trees[0].Source.Content
            .Should().Contain("feed lead :   rack.mic[1] ->   rack.net[1] -> desk.expansion.net[1] -> desk.ch[1]");
    }

    private const string Boxes = """
        format line { joins point_to_point  way one  time none  medium twisted_pair up to 100 m }

        /// A box at the quay.
        gear LeftBox "stage box" {
          in    mic[8]  : line { phantom }
          out   line[8] : line
          route mic -> line fixed
        }

        /// A box at the quay.
        gear RightBox "stage box" {
          in    mic[8]  : line { phantom }
          out   line[8] : line
          route mic -> line fixed
        }

        unit left  : LeftBox   "Left"
        unit right : RightBox  "Right"
        unit spare : RightBox  "Spare"

        feed one : left.mic[1] -> left.line[1] -> right.mic[1] -> right.line[1] -> spare.mic[1]

        """;

    [Theory]
    [InlineData("gear LeftBox")]
    [InlineData("gear RightBox")]
    [InlineData("unit left")]
    [InlineData("unit spare")]
    public void Gear_that_says_the_same_becomes_one(string at)
    {
        var plan = Plan(Boxes);
        var rewrite = Rewrite.In(plan.Queries, plan.Findings, plan.Trees[0], new TextSpan(Boxes.IndexOf(at, StringComparison.Ordinal), 0), []).Single(r => r.Title.StartsWith("make one", StringComparison.Ordinal));
        rewrite.Title.Should().Be("make one gear of LeftBox and RightBox");
        rewrite.Sort.Should().Be(RewriteSort.Extraction);
        var after = Applied(plan, rewrite);
        after.Trees[0].Source.Content.Should().Be("""
            format line { joins point_to_point  way one  time none  medium twisted_pair up to 100 m }

            /// A box at the quay.
            gear LeftBox "stage box" {
              in    mic[8]  : line { phantom }
              out   line[8] : line
              route mic -> line fixed
            }

            unit left  : LeftBox  "Left"
            unit right : LeftBox  "Right"
            unit spare : LeftBox  "Spare"

            feed one : left.mic[1] -> left.line[1] -> right.mic[1] -> right.line[1] -> spare.mic[1]

            """);
        Sound(after).Should().Equal(Sound(plan));
        after.Findings.Select(f => f.Message).Should().Equal(plan.Findings.Select(f => f.Message));
    }

    [Fact]
    public void What_differs_in_how_many_channels_there_are_gets_a_count()
    {
        var text = Boxes.Replace("gear RightBox \"stage box\" {\n  in    mic[8]  : line { phantom }\n  out   line[8]", "gear RightBox \"stage box\" {\n  in    mic[12] : line { phantom }\n  out   line[12]", StringComparison.Ordinal);
        text.Should().Contain("mic[12]");
        var plan = Plan(text);
        var rewrite = Rewrite.In(plan.Queries, plan.Findings, plan.Trees[0], TextSpan.FromTo(text.IndexOf("unit left", StringComparison.Ordinal), text.IndexOf("feed", StringComparison.Ordinal)), []).Single(r => r.Sort == RewriteSort.Extraction);
        var after = Applied(plan, rewrite);
        after.Trees[0].Source.Content.Should().Contain("gear LeftBox(mic_count) \"stage box\" {\n  in    mic[mic_count]  : line { phantom }\n  out   line[mic_count] : line\n")
            .And.Contain("unit left  : LeftBox(8)   \"Left\"\nunit right : LeftBox(12)  \"Right\"\nunit spare : LeftBox(12)  \"Spare\"\n").And.NotContain("RightBox");
        Sound(after).Should().Equal(Sound(plan));
        after.Findings.Select(f => f.Message).Should().Equal(plan.Findings.Select(f => f.Message));
    }

    [Theory]
    [InlineData("gear LeftBox \"stage box\"", "gear LeftBox \"other box\"")] // what the sheets call it
    [InlineData("LeftBox \"stage box\"", "LeftBox")]
    [InlineData("/// A box at the quay.\ngear LeftBox", "/// A dry box at the quay.\ngear LeftBox")]
    [InlineData("  route mic -> line fixed\n}\n\n///", "  route mic -> line fixed // as it came\n}\n\n///")]
    [InlineData("  route mic -> line fixed\n}\n\n///", "  route mic -> line free\n}\n\n///")]
    [InlineData("  route mic -> line fixed\n}\n\n///", "  route mic -> line fixed\n}\n\n// The one that stays dry.\n///")]
    [InlineData("unit left ", "allow PL0310 \"as it is on the quay\"\nunit left ", true)]
    [InlineData("gear RightBox", "allow PL0310 \"as it is on the quay\"\ngear RightBox")]
    public void Gear_that_does_not_quite_say_the_same_stays_apart(string what, string by, bool isMade = false)
    {
        var text = Boxes.Replace("\r", "", StringComparison.Ordinal);
        text.Should().Contain(what);
        var at = text.IndexOf(what, StringComparison.Ordinal);
        text = text.Remove(at, what.Length).Insert(at, by);
        var plan = Plan(text);
        Rewrite.In(plan.Queries, plan.Findings, plan.Trees[0], new TextSpan(text.IndexOf("unit right", StringComparison.Ordinal), 0), []).Any(r => r.Title.StartsWith("make one", StringComparison.Ordinal)).Should().Be(isMade);
    }

    /// <summary>What each statement offers as a whole, and at each of its words.</summary>
    private static IEnumerable<Rewrite> RewritesIn(Compilation plan, SyntaxTree tree)
    {
        for (var i = 0; i < tree.Count; i++)
        {
            var start = tree.StartOf(i);
            foreach (var rewrite in Rewrite.In(plan.Queries, plan.Findings, tree, PlanQueries.SpanOf(tree[i]).Moved(start), [])) yield return rewrite;
            if (tree[i].Kind != NodeKind.Unit) continue;
            foreach (var occurrence in plan.Queries.In(tree, i))
                foreach (var rewrite in Rewrite.In(plan.Queries, plan.Findings, tree, new TextSpan(occurrence.Span.Start, 0), []).Where(r => r.Sort == RewriteSort.Extraction)) yield return rewrite;
        }
    }

    private static (Compilation Plan, SyntaxTree Tree, TextSpan Within) Marked(string marked)
    {
        var text = Gear + """
            unit rack : Rack(8)
            unit desk : Desk { expansion = NetCard(8) }
            network stage : quay_net { join rack.net, desk.expansion.net }
            timekeeper desk
            follow desk.expansion from host
            follow rack from net

            """ + marked + "\n";
        var at = text.IndexOf('$', StringComparison.Ordinal);
        var plan = Plan(text.Remove(at, 1));
        return (plan, plan.Trees[0], new TextSpan(at, 0));
    }

    private static Compilation Plan(string text) => Compilation.Create(new SourceText("quay.rig", text), _ => FileReading.Failed(FileProblem.NotFound));

    private static Compilation Applied(Compilation plan, Rewrite rewrite)
    {
        foreach (var file in rewrite.Edits.GroupBy(e => e.Source))
            plan = plan.With(file.OrderByDescending(e => e.Span.Start).Aggregate(file.Key, (text, edit) => text.With(new TextChange(edit.Span, edit.NewText))));
        return plan;
    }

    /// <summary>Every hop of every channel, and who follows whom: by name, so that two plans can be held against each other.</summary>
    private static List<string> Sound(Compilation plan)
    {
        var lines = new List<string>();
        for (var edge = 0; edge < plan.Graph.EdgeCount; edge++)
        {
            var hop = plan.Graph.HopOf(edge);
            var acts = string.Join(',', plan.Acts.Where(a => plan.Graph.ActsOf(edge).Has(a.Number)).Select(a => a.Name));
            lines.Add($"{plan.Rig.PointOf(plan.Graph.FromOf(edge))} {plan.Rig.PointOf(plan.Graph.FromOf(edge)).Side} -> {plan.Rig.PointOf(plan.Graph.ToOf(edge))} {plan.Rig.PointOf(plan.Graph.ToOf(edge)).Side} {hop.Kind} {hop.Tap} {hop.Gain} {plan.Graph.FeedOf(edge)?.Name} {acts}");
        }
        lines.Sort(StringComparer.Ordinal);
        lines.AddRange(plan.Clocks.Views.SelectMany(v => v.States).Select(s => $"{s.Clock} {s.SourceText} {s.Root}"));
        return lines;
    }
}
