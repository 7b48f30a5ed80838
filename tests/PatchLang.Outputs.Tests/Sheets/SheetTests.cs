using FluentAssertions;
using PatchLang.Outputs.Sheets;
using Xunit;

namespace PatchLang.Outputs.Tests.Sheets;

public sealed class SheetTests
{
    private const string Gear = """
        rig "Lantern Quay"
        format wire { joins point_to_point  way one  time none  medium copper }
        gear Box { in mic[4] : wire { phantom } out line[4] : wire route mic -> line fixed }
        gear Desk { strip ch[8] bus mix[2] in local[4] : wire out line[2] : wire route local -> ch free route ch -> mix free route mix, ch -> line free }
        gear Ear { in line : wire { listener } }
        unit box : Box "Box"
        unit desk : Desk "Desk"
        cable box.line -> desk.local : copper 7.2 m "B"

        """;

    [Fact]
    public void Columns_that_nothing_stands_in_are_left_out_and_those_to_write_in_stay()
    {
        var section = new Section("", [new("A"), new("B"), Column.WriteIn("Gain"), Column.Tick()], [new(["x", "", "", ""], null, [])]);

        section.Columns.Select(c => c.Title).Should().Equal("A", "Gain", "Done");
        section.Rows[0].Cells.Should().HaveCount(3);
    }

    [Fact]
    public void A_box_that_is_half_full_has_a_blank_row_for_each_line_that_is_left()
    {
        var rows = List("feed a \"A\" : box.mic[1] -> desk.local[1] -> desk.ch[1]\nfeed b \"B\" : box.mic[4] -> desk.local[4] -> desk.ch[2]", "input-list").Sections[0].Rows;

        rows.Select(r => (r.Cells[0].Text, r.Cells[1].Text)).Should().Equal(("1", "A"), ("2", ""), ("3", ""), ("4", "B"));
        List("feed a \"A\" : box.mic[1] -> desk.local[1] -> desk.ch[1]", "input-list").Sections[0].Rows.Should().ContainSingle();
    }

    /// <summary>Were each number tried anew for each of them, this would not come to an end in a test.</summary>
    [Fact]
    public void Thousands_of_titles_that_are_alike_at_their_front_get_numbers()
    {
        var names = ShortNames.Of([.. Enumerable.Range(0, 10_000).Select(i => $"Harbour pilot {(char)('a' + i % 26)}{i} of the ferry"), "Harbour pilot a0 of the ferry"], 8);

        names[..^1].Distinct().Should().HaveCount(10_000);
        names.All(n => n.Length <= 8).Should().BeTrue();
        names[..3].Should().Equal("Har ferr", "Har fer2", "Har fer3");
        names[^1].Should().Be(names[0], "it is the same title");
    }

    /// <summary>Each row asks what its signal reaches, and all of them reach the same: were that worked out for each, this would not come to an end in a test.</summary>
    [Fact]
    public void Thousands_of_feeds_at_one_socket_have_a_row_each()
    {
        var feeds = string.Concat(Enumerable.Range(1, 5_000).Select(i => $"feed f{i} : box.mic[1] -> desk.local[1] -> desk.ch[1]{(i == 7 ? " { phantom }" : "")}\n"));

        var rows = List(feeds, "input-list").Sections[0].Rows.Where(r => r.Cells[1].Text.Length > 0).ToList();

        rows.Should().HaveCount(5_000);
        rows.TrueForAll(r => r.Cells.Any(c => c.Text == "48 V")).Should().BeTrue("one of them asks for it, and they come by the same socket");
    }

    [Fact]
    public void Of_very_many_faults_a_row_tells_the_first()
    {
        var feeds = string.Concat(Enumerable.Range(1, 200).Select(i => $"feed f{i} : s -> desk.mix[1]\n"));

        var row = List("feed s \"S\" : box.mic[1] -> desk.local[1] -> desk.ch[1]\n" + feeds, "input-list").Sections[0].Rows.First(r => r.Cells[1].Text == "S");

        var lines = row.FaultText.Split('\n');
        lines.Should().HaveCount(51).And.OnlyHaveUniqueItems();
        lines[^1].Should().Be("and more: patchlang check tells them");
    }

    [Fact]
    public void Lines_stand_in_the_order_of_their_numbers()
    {
        var rows = List("feed z[1..3] : box.mic[2, 3, 4] -> desk.local[2, 3, 4] -> desk.ch[8, 7, 6]\nfeed a : box.mic[1] -> desk.local[1] -> desk.ch[5]", "input-list").Sections[0].Rows;

        rows.Select(r => r.Cells[0].Number).Should().Equal(1, 2, 3, 4);
    }

    [Fact]
    public void A_finding_marks_the_rows_that_it_touches_and_the_plan_has_a_banner()
    {
        var set = Set("feed a \"A\" : box.mic[1] -> desk.local[1] -> desk.ch[1]\nfeed b \"B\" : box.mic[2] -> desk.local[2] -> desk.ch[1]\nfeed c \"C\" : box.mic[3] -> desk.local[3] -> desk.ch[3]");

        set.Banner.Should().StartWith("This plan has 1 error: it does not work as written.");
        set.Sheets.Single(s => s.Name == "input-list").Sections[0].Rows.ToDictionary(r => r.Cells[1].Text, r => r.Faults.Length > 0)
            .Should().BeEquivalentTo(new Dictionary<string, bool> { ["A"] = true, ["B"] = true, ["C"] = false, [""] = false });
    }

    [Fact]
    public void A_plan_without_faults_has_no_banner() => Set("feed a : box.mic[1] -> desk.local[1] -> desk.ch[1]").Banner.Should().BeNull();

    [Fact]
    public void A_plan_with_nothing_in_it_gives_no_sheets() =>
        SheetList.Of(SamplePlans.CompileText("rig \"Empty\"\n"), "quay.rig", "", "").Sheets.Should().BeEmpty();

    [Fact]
    public void A_cable_that_no_statement_declares_still_stands_in_the_schedule_with_its_length_unknown()
    {
        var sections = List("unit ear[1..2] : Ear \"Ear\"\nfeed m : sum(desk.ch[1]) -> desk.mix[1] -> desk.line[1] -> ear[1].line", "cable-schedule").Sections;

        var row = sections.Single(s => s.Title == "Cables that no statement declares").Rows.Should().ContainSingle().Subject;
        row.Cells.Select(c => c.Text).Should().Contain(["desk.line[1]", "ear[1].line", "not known"]);
    }

    [Theory]
    [InlineData(0.4, 1)]
    [InlineData(3, 3)]
    [InlineData(7.2, 10)]
    [InlineData(100.5, 110)]
    [InlineData(160, 160)]
    public void A_cable_is_pulled_in_the_next_length_that_is_kept(double metres, int kept) => PullList.Kept(metres).Should().Be(kept);

    [Fact]
    public void What_moves_to_another_socket_is_said_to_move()
    {
        var change = List("""
            act tide
            act bells after tide
            feed lead "Lead" : box.mic[1] -> desk.local[1] -> desk.ch[1] during tide
            feed lead "Lead" : box.mic[3] -> desk.local[3] -> desk.ch[1] during bells
            feed kick "Kick" : box.mic[2] -> desk.local[2] -> desk.ch[2]
            feed flute "Flute" : box.mic[4] -> desk.local[4] -> desk.ch[4] during tide
            """, "changeover-tide-bells");

        var stage = change.Sections.Single(s => s.Title.Contains("On stage", StringComparison.Ordinal));
        stage.Rows.Select(r => $"{r.Cells[0].Text} {r.Cells[1].Text}").Should().Equal("box.mic[4] comes off", "box.mic[1] moves to box.mic[3]", "box.mic[3] moves here from box.mic[1]", "box.mic[2] stays");
        change.Sections.Select(s => s.Title.Split(' ', 2)[1]).Should().Equal("Make safe", "On stage: Box", "Routes: Desk", "Bring back");
    }

    [Fact]
    public void Phantom_power_goes_off_before_a_line_is_touched_and_on_behind_it()
    {
        var change = List("""
            act tide
            act bells after tide
            feed a "A" : box.mic[1] -> desk.local[1] -> desk.ch[1] { phantom } during tide
            feed b "B" : box.mic[1] -> desk.local[1] -> desk.ch[1] { phantom } during bells
            """, "changeover-tide-bells");

        var steps = change.Sections.SelectMany(s => s.Rows).Select(r => r.Cells[0].Text).ToList();
        steps.Should().ContainInOrder("Phantom power off", "Wait half a minute for it to drain", "box.mic[1]", "Phantom power on, everything still muted", "Unmute on Desk, from the bottom");
        steps[0].Should().Be("Earphones out; earphones and wedges muted");
    }

    [Fact]
    public void An_act_that_follows_none_has_no_changeover() =>
        Set("act tide\nact bells\nfeed a : box.mic[1] -> desk.local[1] -> desk.ch[1] during tide").Sheets.Should().NotContain(s => s.Name.StartsWith("changeover", StringComparison.Ordinal));

    [Fact]
    public void A_listener_reads_what_is_in_the_mix_and_how_loud()
    {
        var sheet = List("unit ear[1..2] : Ear \"Ear\"\nfeed a \"A\" : box.mic[1] -> desk.local[1] -> desk.ch[1]\nfeed b \"B\" : box.mic[2] -> desk.local[2] -> desk.ch[2]\nfeed m \"Mine\" : sum(a, b -6 dB) -> desk.mix[1] -> desk.line[1] -> ear[1].line", "listener-ear-1");

        sheet.Title.Should().Be("What you hear: Ear 1");
        sheet.Sections[0].Rows.Select(r => (r.Cells[0].Text, r.Cells[1].Text)).Should().Equal(("A", "as you ask"), ("B", "6 dB lower"));
    }

    [Theory]
    [InlineData("latency local -> ch 0.5 ms latency ch -> mix 0.7 ms", "0.5 ms", "You hear this 1.2 ms after it is played: about as late as from a loudspeaker 0.4 m away.")] // 343 m/s: handbook figure for 20 °C, from memory
    [InlineData("latency local -> ch 1.5 ms latency ch -> mix 0.5..1.54 ms", "1.5 ms", "You hear this 2 to 3 ms after it is played: about as late as from a loudspeaker 1 m away.")]
    [InlineData("latency local -> ch 0.2 ms latency ch -> mix 0 ms", "0.2 ms", "You hear this 0.2 ms after it is played.")]
    [InlineData("latency local -> ch 0 ms latency ch -> mix 0 ms", "at once", "You hear this as it is played, without a delay.")]
    [InlineData("latency ch -> mix 0.5 ms", "not known", "You hear this at least 0.5 ms after it is played; how much more is not known.")]
    [InlineData("", "not known", "How much later you hear this than it is played is not known.")]
    public void A_listener_reads_how_late_it_is(string latencies, string ofOneSignal, string ofTheMix)
    {
        var plan = SamplePlans.CompileText($$"""
            rig "Lantern Quay"
            format wire { joins point_to_point way one time none }
            gear Desk { strip ch[2] bus mix in local[2] : wire out line[2] : wire route local -> ch free route ch -> mix free route mix, ch -> line free latency ch -> line 0 ms latency mix -> line 0 ms {{latencies}} }
            gear Ear { in air[2] : wire { listener } }
            unit desk : Desk
            unit ear : Ear
            feed a "A" : desk.local[1] -> desk.ch[1]
            feed b "B" : desk.local[2] -> desk.ch[2] -> desk.line[2] -> ear.air[2]
            feed m "Mine" : sum(a) -> desk.mix -> desk.line[1] -> ear.air[1]
            """);
        var sections = SheetList.Of(plan, "quay.rig", "", "").Sheets.Single(s => s.Name == "listener-ear").Sections;

        sections[0].Rows[0].Cells.Select(c => c.Text).Should().Equal("air 2", "B", ofOneSignal, "");
        sections[1].Remark.Should().Be(ofTheMix);
    }

    [Theory]
    [InlineData("Lead vocal", 8, "Lea voca")]
    [InlineData("Kick", 8, "Kick")]
    [InlineData("Overheads L", 8, "Overhe L")]
    [InlineData("Mara, then the singer L", 8, "Mara L")]
    [InlineData("", 8, "")]
    [InlineData("👩‍🎤👩‍🎤👩‍🎤👩‍🎤", 3, "👩‍🎤👩‍🎤👩‍🎤")]
    public void A_short_name_fits_and_keeps_what_tells_it_apart(string title, int most, string expected) => ShortNames.Of([title], most).Should().Equal(expected);

    [Fact]
    public void Two_titles_never_get_one_short_name() =>
        ShortNames.Of(["Harbour pilot one", "Harbour pilot once"], 8).Should().OnlyHaveUniqueItems();

    private static SheetSet Set(string feeds) => SheetList.Of(SamplePlans.CompileText(Gear + feeds), "quay.rig", "", "");

    private static Sheet List(string feeds, string name) => Set(feeds).Sheets.Single(s => s.Name == name);
}
