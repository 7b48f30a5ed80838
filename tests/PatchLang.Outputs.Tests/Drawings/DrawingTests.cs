using System.Text.RegularExpressions;
using System.Xml.Linq;
using FluentAssertions;
using PatchLang.Declarations;
using PatchLang.Outputs.Drawings;
using PatchLang.Outputs.Drawings.Writers;
using QuikGraph;
using QuikGraph.Algorithms;
using Xunit;

namespace PatchLang.Outputs.Tests.Drawings;

/// <summary>Drawings of the samples, read back by others' readers.</summary>
public sealed partial class DrawingTests
{
    private static readonly XNamespace svg = "http://www.w3.org/2000/svg";

    public static TheoryData<string, string> Drawn => new()
    {
        { "lantern-quay/lantern-quay.rig", "rig" },
        { "lantern-quay/lantern-quay.rig", "clocks" },
        { "lantern-quay/lantern-quay.rig", "lead" },
        { "lantern-quay/lantern-quay.rig", "house" },
        { "ten-minutes/ten-minutes.rig", "rig" },
        { "studio-without-desk/studio-without-desk.rig", "rig" },
        { "studio-without-desk/studio-without-desk.rig", "clocks" },
        { "wrong/wrong.rig", "rig" },
        { "wrong/wrong.rig", "clocks" },
        { "wrong/wrong.rig", "fiddle" },
    };

    [Fact]
    public void A_drawing_that_nobody_can_follow_says_so_with_its_numbers()
    {
        Notes(600).Should().Equal("600 boxes stand one above the other here, and 600 lines side by side: more than anybody can follow. A drawing of one act, or of the way of one feed, has less in it.");
        Notes(60).Should().BeEmpty();

        static IEnumerable<string> Notes(int boxes)
        {
            var plan = SamplePlans.CompileText($$"""
                rig "Lantern Quay"
                format net { joins switched  way both  time none  channels 64 at 48 kHz }
                gear Box { port net : net { in 8  out 8 } }
                unit box[1..{{boxes}}] : Box
                network quay : net { join box.net }

                """);
            return RigDrawing.Of(plan, plan.Rig.AllActs).Notes.Where(n => !n.StartsWith("The plan has", StringComparison.Ordinal));
        }
    }

    [Theory]
    [MemberData(nameof(Drawn))]
    public void Svg_is_XML_with_a_title_a_description_and_nothing_from_outside(string plan, string of)
    {
        var text = SvgWriter.Write(Draw(plan, of));
        var picture = XDocument.Parse(text).Root!;

        picture.Name.Should().Be(svg + "svg");
        picture.Attribute("role")!.Value.Should().Be("img");
        picture.Element(svg + "title")!.Value.Should().NotBeEmpty();
        picture.Element(svg + "desc")!.Value.Should().NotBeEmpty();
        Outside().IsMatch(text.Replace(svg.NamespaceName, "", StringComparison.Ordinal)).Should().BeFalse();
        picture.Descendants().Attributes("id").Select(a => a.Value).Should().OnlyHaveUniqueItems();
    }

    [Theory]
    [MemberData(nameof(Drawn))]
    public void The_page_is_XML_and_loads_nothing(string plan, string of)
    {
        var text = HtmlWriter.Write(Draw(plan, of));
        var page = XDocument.Parse(text.Replace("<!DOCTYPE html>", "", StringComparison.Ordinal)).Root!;

        Outside().IsMatch(text.Replace(svg.NamespaceName, "", StringComparison.Ordinal)).Should().BeFalse();
        page.Descendants().Attributes("src").Should().BeEmpty();
        page.Descendants(svg + "svg").Should().ContainSingle();
        page.Descendants().Attributes("id").Select(a => a.Value).Should().OnlyHaveUniqueItems();
    }

    [Theory]
    [MemberData(nameof(Drawn))]
    public void The_same_plan_gives_the_same_bytes(string plan, string of)
    {
        var (one, other) = (Draw(plan, of), Draw(plan, of));

        SvgWriter.Write(one).Should().Be(SvgWriter.Write(other));
        HtmlWriter.Write(one).Should().Be(HtmlWriter.Write(other));
        DotWriter.Write(one).Should().Be(DotWriter.Write(other));
        GraphMlWriter.Write(one).Should().Be(GraphMlWriter.Write(other));
    }

    [Theory]
    [MemberData(nameof(Drawn))]
    public void GraphML_has_every_box_and_line_and_no_undeclared_data(string plan, string of)
    {
        // That others' programs load it is tried by tests/Pictures.
        XNamespace graphml = "http://graphml.graphdrawing.org/xmlns";
        var drawing = Draw(plan, of);
        var root = XDocument.Parse(GraphMlWriter.Write(drawing)).Root!;
        var names = root.Descendants(graphml + "node").ToDictionary(n => n.Attribute("id")!.Value, n => n.Elements(graphml + "data").Single(d => d.Attribute("key")!.Value == "name").Value);

        names.Values.Should().Equal(drawing.Boxes.Select(b => b.Name));
        root.Descendants(graphml + "edge").Select(e => (names[e.Attribute("source")!.Value], names[e.Attribute("target")!.Value]))
            .Should().Equal(drawing.Lines.Select(l => (drawing.Boxes[l.FromBox].Name, drawing.Boxes[l.ToBox].Name)));
        root.Descendants(graphml + "data").Select(d => d.Attribute("key")!.Value).Should().BeSubsetOf(root.Elements(graphml + "key").Select(k => k.Attribute("id")!.Value));
    }

    [Fact]
    public void GraphML_loaded_by_QuikGraph_has_the_ways_that_the_plan_has()
    {
        // QuikGraph 2.5.0 searches and sorts what another program would read of the file.
        var lead = Load(Draw("lantern-quay/lantern-quay.rig", "lead"));
        var clocks = Load(Draw("lantern-quay/lantern-quay.rig", "clocks"));
        var rig = Load(Draw("lantern-quay/lantern-quay.rig", "rig"));

        // One source, and all that the drawing shows is reached from it.
        var source = lead.Roots().Should().ContainSingle().Which;
        var from = lead.TreeBreadthFirstSearch(source);
        lead.Vertices.Where(v => v != source).Should().NotBeEmpty().And.AllSatisfy(v => from(v, out _).Should().BeTrue($"{v} hears the lead vocal"));
        // Nothing keeps its own time by way of another, and the desk leads somebody.
        clocks.IsDirectedAcyclicGraph().Should().BeTrue();
        clocks.Roots().Should().Contain("desk").And.HaveCountLessThan(clocks.VertexCount);
        // Each unit on the lead's way is reached over the rig's cables and networks, too.
        var units = lead.Vertices.Select(Unit).Distinct().ToList();
        var overCables = rig.TreeBreadthFirstSearch(Unit(source));
        units.Should().HaveCountGreaterThan(5).And.BeSubsetOf(rig.Vertices);
        units.Where(u => u != Unit(source)).Should().AllSatisfy(u => overCables(u, out _).Should().BeTrue($"cables lead from {source} to {u}"));

        static string Unit(string channel) => channel.Split('.')[0];
    }

    private static BidirectionalGraph<string, Edge<string>> Load(Drawing drawing)
    {
        XNamespace graphml = "http://graphml.graphdrawing.org/xmlns";
        var root = XDocument.Parse(GraphMlWriter.Write(drawing)).Root!;
        var names = root.Descendants(graphml + "node").ToDictionary(n => n.Attribute("id")!.Value, n => n.Elements(graphml + "data").Single(d => d.Attribute("key")!.Value == "name").Value);
        var graph = new BidirectionalGraph<string, Edge<string>>();
        graph.AddVertexRange(names.Values);
        graph.AddEdgeRange(root.Descendants(graphml + "edge").Select(e => new Edge<string>(names[e.Attribute("source")!.Value], names[e.Attribute("target")!.Value])));
        return graph;
    }

    [Theory]
    [MemberData(nameof(Drawn))]
    public void What_is_written_on_a_picture_covers_nothing(string plan, string of) => CoversNothing(Draw(plan, of));

    internal static void CoversNothing(Drawing drawing)
    {
        var written = drawing.Lines.SelectMany(Written).ToList();
        for (var i = 0; i < written.Count; i++)
        {
            for (var j = 0; j < i; j++) Overlap(written[i], written[j]).Should().BeFalse($"{written[i]} and {written[j]} are two");
            foreach (var box in drawing.Boxes) Overlap(written[i], ("", box.X, box.Y, box.Width, box.Height)).Should().BeFalse($"{written[i]} is beside {box.Name}");
        }
        foreach (var box in drawing.Boxes)
            (Lettering.Title(box.Title) + 16).Should().BeLessThanOrEqualTo(box.Width);
    }

    [Fact]
    public void Every_cable_and_every_join_of_the_festival_day_is_drawn()
    {
        var plan = SamplePlans.Compile("lantern-quay/lantern-quay.rig");
        var drawing = RigDrawing.Of(plan, plan.Rig.AllActs);
        var pairs = drawing.Lines.Select(l => (drawing.Boxes[l.FromBox].Name, drawing.Boxes[l.ToBox].Name)).ToHashSet();

        foreach (var cable in plan.Rig.Cables)
            pairs.Should().Contain((cable.From.Device.Outermost.Name, cable.To.Device.Outermost.Name));
        foreach (var network in plan.Rig.Networks)
            foreach (var (device, _) in network.Ports)
                (pairs.Contains((device.Outermost.Name, network.Symbol.Name)) || pairs.Contains((network.Symbol.Name, device.Outermost.Name))).Should().BeTrue();
        drawing.Boxes.Where(b => b.Sort == BoxSort.Unit).Select(b => b.Name).Should().BeEquivalentTo(plan.Rig.Devices.Where(d => d.Host is null).Select(d => d.Name));
        drawing.Boxes.SelectMany(b => b.Cards).Select(c => c.Name).Should().BeEquivalentTo(plan.Rig.Devices.Where(d => d.Host is not null).Select(d => d.Name));
    }

    [Fact]
    public void An_element_leads_back_to_its_place_in_the_plan()
    {
        var plan = SamplePlans.Compile("lantern-quay/lantern-quay.rig");
        var picture = XDocument.Parse(SvgWriter.Write(RigDrawing.Of(plan, plan.Rig.AllActs)));

        foreach (var element in picture.Descendants().Where(e => e.Attribute("data-kind")?.Value is "unit" or "network"))
        {
            var tree = plan.Trees.Single(t => t.Source.Path == element.Attribute("data-file")!.Value);
            var offset = tree.Source.OffsetOf((int)element.Attribute("data-line")! - 1, (int)element.Attribute("data-column")! - 1);
            element.Attribute("data-name")!.Value.Should().StartWith(tree.Source.Content[offset..].Split(' ', '[')[0]);
        }
    }

    [Fact]
    public void An_act_draws_what_is_there_in_it()
    {
        var plan = SamplePlans.Compile("lantern-quay/lantern-quay.rig");
        var act = ActSet.Of(plan.Acts.Single(a => a.Name == "bells").Number);

        var recorder = RigDrawing.Of(plan, act).Boxes.Single(b => b.Name == "recorder");

        RigDrawing.Of(plan, act).Title.Should().EndWith("Harbour Bells");
        recorder.Ports.Single(p => p.Beyond == Beyond.Listener).Text.Should().NotBe(
            RigDrawing.Of(plan, plan.Rig.AllActs).Boxes.Single(b => b.Name == "recorder").Ports.Single(p => p.Beyond == Beyond.Listener).Text);
    }

    [Fact]
    public void A_wrong_plan_is_drawn_with_its_findings_where_they_belong()
    {
        var plan = SamplePlans.Compile("wrong/wrong.rig");
        var drawing = RigDrawing.Of(plan, plan.Rig.AllActs);

        drawing.Notes.Should().ContainSingle().Which.Should().StartWith("The plan has 15 errors");
        drawing.Boxes.Single(b => b.Name == "desk").Marks.Should().Equal("PL0501");
        drawing.Lines.Single(l => l.From == "preamps.optical").Marks.Should().Equal("PL0903");
    }

    [Fact]
    public void A_clock_conflict_is_told_in_words_and_by_a_mark()
    {
        var plan = SamplePlans.Compile("wrong/wrong.rig");
        var drawing = ClockDrawing.Of(plan, plan.Rig.AllActs);

        drawing.Boxes.Where(b => !b.Marks.IsEmpty).Select(b => b.Name).Should().Equal("desk", "desk.expansion");
        drawing.Boxes.Single(b => b.Name == "desk").Details.Should().Contain("timekeeper (clock leader)");
        drawing.Boxes.Where(b => b.IsStrong).Should().OnlyContain(b => b.Details.Any(d => d.StartsWith("runs free", StringComparison.Ordinal)));
    }

    [Fact]
    public void A_way_tells_when_the_sound_is_at_each_step()
    {
        var drawing = Draw("lantern-quay/lantern-quay.rig", "chain_bass");

        // The rack's figure and the network's setting, as the plan and the library write them: 0.4 ms and 1 ms.
        drawing.Boxes.Single(b => b.Name == "hub.slot_a.net[13]").Details.Should().Contain("after 1.4 ms");
        drawing.Boxes.Single(b => b.Name == "split.stage[9]").Details.Should().Contain("after 0 ms");
        Draw("wrong/wrong.rig", "fill").Boxes.SelectMany(b => b.Details).Should().NotContain(d => d.Contains("NaN", StringComparison.Ordinal));
    }

    [Fact]
    public void A_way_tells_the_level_where_it_is_known_and_says_where_it_is_not()
    {
        var plan = SamplePlans.CompileText("""
            rig "Lantern Quay"
            rate 48 kHz
            use "library/formats.rig"
            gear Player "player" { out line : analog { full_scale = +18 dBu } }
            gear Wall   "wall box" {
              in  from : analog
              out to   : analog
              route from -> to fixed
            }
            unit one : Player
            unit two : Player
            unit box : Wall
            cable one.line -> box.from : twisted_pair 5 m
            feed stated "Stated" : one.line -> box.from { level = -12 dBu }
            feed silent "Silent" : two.line
            """);

        Details("one.line", "stated").Should().Contain("-12 dBu");
        Details("box.from", "stated").Should().Contain("-12 dBu");
        Draw("lantern-quay/lantern-quay.rig", "van_talk").Boxes.SelectMany(b => b.Details).Should().Contain("level unknown");

        IEnumerable<string> Details(string box, string feed) =>
            FeedDrawing.Of(plan, feed, plan.Find(feed), plan.Rig.AllActs).Boxes.Single(b => b.Name == box).Details;
    }

    [Fact]
    public void Names_of_any_script_and_of_marks_come_through()
    {
        var plan = SamplePlans.CompileText("""
            rig "<Quay> & \"co\" 🎻 مرسى"
            rate 48 kHz
            use "library/stage.rig"
            unit 琴 : StageRack(8, 8) "Rack \"<&>\" 🎻"
            unit wedge : Wedge "مسند"
            cable 琴.line[1] -> wedge.line : twisted_pair 5 m "]]>"
            """);
        var drawing = RigDrawing.Of(plan, plan.Rig.AllActs);

        XDocument.Parse(SvgWriter.Write(drawing)).Descendants(svg + "text").Select(t => t.Value).Should().Contain(t => t.Contains("🎻", StringComparison.Ordinal)).And.Contain("مسند");
        XDocument.Parse(HtmlWriter.Write(drawing).Replace("<!DOCTYPE html>", "", StringComparison.Ordinal));
        XDocument.Parse(GraphMlWriter.Write(drawing));
    }

    [Fact]
    public void A_plan_without_anything_is_a_picture_without_anything()
    {
        var plan = SamplePlans.CompileText("rig \"Nothing yet\"\n");

        XDocument.Parse(SvgWriter.Write(RigDrawing.Of(plan, plan.Rig.AllActs)));
        XDocument.Parse(SvgWriter.Write(ClockDrawing.Of(plan, plan.Rig.AllActs)));
    }

    [Fact]
    public void Contrast_is_enough_on_light_and_on_dark_ground()
    {
        // WCAG 2.2, success criterion 1.4.3: 4.5 to 1. The formula's ends: black on white is 21 to 1.
        Palette.Contrast("#000000", "#ffffff").Should().BeApproximately(21, 1e-9);
        foreach (var palette in (Palette[])[Palette.Light, Palette.Dark])
        {
            foreach (var ground in (string[])[palette.Ground, palette.Fill, palette.Card])
                foreach (var ink in (string[])[palette.Ink, palette.Quiet, palette.Mark, palette.Added, palette.Removed, palette.Changed])
                    Palette.Contrast(ink, ground).Should().BeGreaterThanOrEqualTo(4.5);
            foreach (var line in (string[])[palette.Analog, palette.Digital, palette.Network, palette.Time, palette.Inside])
                Palette.Contrast(line, palette.Ground).Should().BeGreaterThanOrEqualTo(4.5);
        }
    }

    [Fact]
    public void No_two_formats_look_alike_but_for_their_colour()
    {
        var plan = SamplePlans.Compile("lantern-quay/lantern-quay.rig");

        RigDrawing.Of(plan, plan.Rig.AllActs).Formats.Select(f => (f.DashesOf, f.IsDouble)).Should().OnlyHaveUniqueItems();
    }

    [Fact]
    public void The_drawing_in_the_sample_is_the_one_that_the_command_gives()
    {
        var plan = SamplePlans.Compile("lantern-quay/lantern-quay.rig");
        var kept = Path.Combine(SamplePlans.Root, "samples", "lantern-quay", "lantern-quay.svg");
        var drawn = SvgWriter.Write(RigDrawing.Of(plan, plan.Rig.AllActs));
        if (Environment.GetEnvironmentVariable("PATCHLANG_ACCEPT") == "1") File.WriteAllText(kept, drawn);

        File.ReadAllText(kept).Should().Be(drawn);
    }

    [Fact]
    public void What_a_caller_highlights_is_set_off_by_sign_and_words()
    {
        var plan = SamplePlans.Compile("ten-minutes/ten-minutes.rig");
        var (box, line, feed) = RigDrawing.Of(plan, plan.Rig.AllActs) is var plain ? (plain.Boxes[0], plain.Lines[0], plain.Feeds[^1]) : default;
        var cable = plan.Rig.Cables[0];
        var port = $"{cable.From.Device.Name}.{cable.From.Socket.Name}";
        var highlights = new RigHighlights()
            .Unit(box.Name, new Highlight(HighlightSort.Changed, "2 routes")).Port(port, new Highlight(HighlightSort.Removed, ""))
            .Cable(cable.From.ToString(), cable.To.ToString(), new Highlight(HighlightSort.Added, "laid today")).Feed(feed.Name, new Highlight(HighlightSort.Changed, "listen"));

        var drawing = RigDrawing.Of(plan, plan.Rig.AllActs, highlights);
        var picture = SvgWriter.Write(drawing);

        drawing.Boxes[0].Highlight!.Text.Should().Be("~ 2 routes");
        drawing.Boxes.SelectMany(b => b.Ports).Where(p => p.Highlight is not null).Should().NotBeEmpty().And.OnlyContain(p => p.Name.StartsWith(port, StringComparison.Ordinal));
        drawing.Lines.Single(l => l.Highlight?.Sort == HighlightSort.Added).From.Should().StartWith(port);
        drawing.Lines.Where(l => l.Highlight?.Words == "listen").Select(l => l.Number).Should().BeSubsetOf(feed.Lines).And.NotBeEmpty();
        foreach (var words in (string[])[">~ 2 routes<", ">+ laid today<", ">new<", ">gone, title struck out<", ">stays, and is another<"]) picture.Should().Contain(words);
        SvgWriter.Write(RigDrawing.Of(plan, plan.Rig.AllActs, RigHighlights.None)).Should().Be(SvgWriter.Write(RigDrawing.Of(plan, plan.Rig.AllActs)));
    }

    private static Drawing Draw(string path, string of)
    {
        var plan = SamplePlans.Compile(path);
        return of switch
        {
            "rig" => RigDrawing.Of(plan, plan.Rig.AllActs),
            "clocks" => ClockDrawing.Of(plan, plan.Rig.AllActs),
            _ => FeedDrawing.Of(plan, of, plan.Find(of), plan.Rig.AllActs),
        };
    }

    private static IEnumerable<(string Text, int X, int Y, int Width, int Height)> Written(DrawnLine line)
    {
        var at = line.IsToldAtEnd ? line.Path[^1] : line.Path[0];
        var words = string.Join("  ", new[] { line.Text, line.Highlight?.Text ?? "" }.Where(w => w.Length > 0));
        if (words.Length > 0) yield return Placed(words, -13, 11);
        if (line.Detail.Length > 0) yield return Placed(line.Detail, 2, 11);

        (string, int, int, int, int) Placed(string text, int down, int height)
        {
            var width = Lettering.Label(text);
            return (text, line.IsToldAtEnd ? at.X - 11 - width : at.X + 11, at.Y + down, width, height);
        }
    }

    private static bool Overlap((string, int X, int Y, int Width, int Height) one, (string, int X, int Y, int Width, int Height) other) =>
        one.X < other.X + other.Width && other.X < one.X + one.Width && one.Y < other.Y + other.Height && other.Y < one.Y + one.Height;

    [GeneratedRegex(@"https?:|url\(|@import|<link|<img|<iframe|xlink", RegexOptions.ExplicitCapture, 1000)]
    private static partial Regex Outside();
}
