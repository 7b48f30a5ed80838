using CsCheck;
using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Formatting;
using PatchLang.Syntax;
using PatchLang.Tests.Syntax;
using PatchLang.Text;
using PatchLang.Writing;
using Xunit;

namespace PatchLang.Tests.Writing;

/// <summary>Plans that are written by calls can be read and are tidy, whatever the calls are given; what can't be written is said at the call.</summary>
public sealed class PlanWriterTests
{
    [Fact]
    public void A_plan_is_written_as_one_would_write_it()
    {
        var plan = new PlanWriter();
        plan.Comment("The evening on the quay.");
        plan.Rig("Lantern Quay, the duo");
        plan.Rate(48.kHz);
        plan.Use("library/stage.rig");
        plan.Use("library/desks.rig");
        var tide = plan.Act("tide").Label("The Tide Band");
        var rack = plan.Unit("rack", new("StageRack", 32, 16)).Labels("Stage rack").Place("up-stage left").Documented("The rack at the foot of the crane.");
        var desk = plan.Unit("desk", "Desk48").Labels("Desk").Fill("expansion", new("NetCard", 64));
        plan.Network("stage", "aes67").Join(rack["net"], desk["expansion"]["net"]).Latency(1.ms).Link(1.GbitPerSecond);
        plan.Timekeeper(desk, rack);
        plan.Follow(desk["expansion"], "host").Remarked("the card takes the desk's time");
        plan.Follow(rack, "net");
        plan.Comment("---- the band ----");
        var fiddle = plan.Feed("fiddle", rack["mic"][1]).Labels("Fiddle").To(desk["expansion"]["net"][1], desk["ch"][1]).Phantom();
        var piano = plan.Feed("piano", rack["mic"][8, 10]).Sides("L", "R").Labels("Piano").To(desk["expansion"]["net"][8, 10], desk["ch"][8, 10]).Level(-46.dBu).During(tide);
        var band = plan.Bundle("band", fiddle, piano);
        plan.Feed("mix", PlanOrigin.Sum(band.Before("fader"), piano.Named("L").Before("fader").Onto("L", "R").Gain(-6.dB)))
            .Sides("L", "R").To(desk["mix"][1..2]).Allowing("PL0907", "measured on the day");
        plan.ExpectLatency(fiddle, Comparison.AtMost, 0.5.ms);

        plan.ToString().Should().Be("""
            // The evening on the quay.
            rig "Lantern Quay, the duo"
            rate 48 kHz

            use "library/stage.rig"
            use "library/desks.rig"

            act tide "The Tide Band"

            /// The rack at the foot of the crane.
            unit rack : StageRack(32, 16)  "Stage rack"  { place = "up-stage left" }
            unit desk : Desk48             "Desk"        { expansion = NetCard(64) }

            network stage : aes67 {
              join    rack.net, desk.expansion.net
              latency 1 ms
              link    1 Gbit/s
            }

            timekeeper desk { standby rack }
            follow desk.expansion from host  // the card takes the desk's time
            follow rack           from net

            // ---- the band ----
            feed fiddle "Fiddle" : rack.mic[1] -> desk.expansion.net[1] -> desk.ch[1] { phantom }
            feed piano[L, R] "Piano" : rack.mic[8, 10]
                -> desk.expansion.net[8, 10] -> desk.ch[8, 10] { level = -46 dBu } during tide

            bundle band : fiddle, piano

            allow PL0907 "measured on the day"
            feed mix[L, R] : sum(band before fader, piano[L] before fader to [L, R] -6 dB) -> desk.mix[1..2]

            expect fiddle latency <= 0.5 ms

            """);
    }

    public static TheoryData<string, Action<PlanWriter>, string> Wrong => new()
    {
        { "a name with a hyphen", p => p.Unit("up-stage", "Desk48"), "`up-stage` is no name: names are letters, digits and `_`, and begin with a letter or `_`; `up_stage` would be one" },
        { "a name that begins with a figure", p => p.Feed("2nd", PlanPath.Of("a")), "*`x_2nd` would be one" },
        { "no name", p => p.Unit("", "Desk48"), "`` is no name*" },
        { "a word that opens statements", p => p.Unit("feed", "Desk48"), "`feed` opens a statement wherever it stands, so it is no name; `x_feed` would be one" },
        { "a word that opens something", p => p.Feed("sum", PlanPath.Of("a")), "`sum` has a meaning of its own*" },
        { "two prefixes", p => p.Unit("desk", "a.b.Desk48"), "*more than one prefix" },
        { "text that goes on in another statement", p => p.Unit("desk", "Desk48 unit x"), "`Desk48 unit x` is no name*" },
        { "a label of two lines", p => p.Unit("desk", "Desk48").Labels("a\nb"), "what is in quotes is one line of text: \"a b\"" },
        { "a remark of two lines", p => p.Rate(48.kHz).Remarked("a\nfeed"), "a remark is one line of text*" },
        { "a rate in metres", p => p.Rate(48.m), "a rate is given in Hz, kHz or MHz, and not as 48 m" },
        { "a unit that there is not", p => p.Rate(Amount.Of(48, "bananas")), "`bananas` is no unit" },
        { "an amount without a unit", p => p.Rate(Amount.Parse("48")), "`48` is no*" },
        { "an amount that is none", p => p.Rate(default), "a rate is missing" },
        { "no number", p => p.Feed("a", PlanPath.Of("b")).Delay(double.NaN.ms), "NaN is no number*" },
        { "a number past all bounds", p => p.Feed("a", PlanPath.Of("b")).Delay(1e60.ms), "*too large" },
        { "two units in one range", p => p.Gear("G").Latency("a", "b", 1.ms.To(2.s)), "a range has one unit, and not ms and s" },
        { "a row that counts down", p => p.Reserve(PlanPath.Of("rack")["mic"][4..1], "spare"), "the row 4..1 counts down" },
        { "a row from the end", p => p.Reserve(PlanPath.Of("rack")["mic"][1..^1], "spare"), "a row has two numbers*" },
        { "channel nought", p => p.Reserve(PlanPath.Of("rack")["mic"][0], "spare"), "0 is no count*" },
        { "which of which", p => p.Reserve(PlanPath.Of("rack")["mic"][1][2], "spare"), "it is already said which of `rack.mic[1]`" },
        { "brackets with nothing in them", p => p.Reserve(PlanPath.Of("rack")["mic"][Array.Empty<Which>()], "spare"), "brackets need*" },
        { "a path that is none", p => p.Reserve(PlanPath.Parse("rack.mic[1] \"x\" feed"), "spare"), "*is no path*" },
        { "a gain where no mix is", p => p.Feed("a", PlanPath.Of("b").Gain(-6.dB)), "`-6 dB` stands in a sum; a feed starts from one thing: `b`" },
        { "a gain in an either", p => p.Feed("a", PlanOrigin.Either(PlanPath.Of("b").Gain(-6.dB))), "`-6 dB` stands in a sum*" },
        { "a mix in a mix", p => p.Feed("a", PlanOrigin.Sum(PlanOrigin.Sum(PlanPath.Of("b")))), "`sum(b)` can't stand in another mix*" },
        { "a mix of nothing", p => p.Feed("a", PlanOrigin.Sum()), "a mix of nothing*" },
        { "a tapped member of a bundle", p => p.Bundle("a", PlanPath.Of("b").Before("fader")), "`b before fader` can't stand here*" },
        { "a bundle of nothing", p => p.Bundle("a"), "a bundle of nothing*" },
        { "counts where none can stand", p => p.Network("n", new("aes67", 3)), "`aes67(3)` has counts*" },
        { "a setting that is a unit symbol", p => p.Unit("desk", "Desk48").Flag("dB"), "`dB` is a unit*" },
        { "a code that is none", p => p.Rate(48.kHz).Allowing("PL1", "why"), "*" },
    };

    [Theory]
    [MemberData(nameof(Wrong))]
    public void What_can_t_be_written_is_said_at_the_call_and_changes_nothing(string what, Action<PlanWriter> call, string message)
    {
        var plan = new PlanWriter();
        plan.Rig("Lantern Quay");
        plan.Invoking(call).Should().Throw<PlanWritingException>(what).WithMessage(message);
        SyntaxTree.Parse(new SourceText("plan.rig", plan.ToString())).Findings.Should().BeEmpty();
        plan.ToString().Should().NotContain("bananas").And.NotContain("up-stage");
    }

    [Fact]
    public void A_call_that_fails_leaves_the_statement_as_it_was()
    {
        var plan = new PlanWriter();
        var feed = plan.Feed("lead", PlanPath.Of("rack")["mic"][1]).Phantom();
        feed.Invoking(f => f.Flag("dB")).Should().Throw<PlanWritingException>();
        feed.Invoking(f => f.Labels("a\nb")).Should().Throw<PlanWritingException>();
        plan.ToString().Should().Be("feed lead : rack.mic[1] { phantom }\n");
    }

    [Fact]
    public void Any_text_can_be_a_label_and_comes_back_as_it_was() =>
        AnyLine.Sample(label =>
        {
            var plan = new PlanWriter();
            plan.Comment(label);
            plan.Unit("desk", "Desk48").Labels(label).Documented(label).Remarked(label);
            plan.Reserve(PlanPath.Of("desk")["line"][1], label);
            var tree = ShouldBeReadAndTidy(plan);
            tree.Count.Should().Be(2);
            using var reading = tree[1].Read();
            reading.TextOf(reading.TokenCount - 1).ToString().Should().Be($"\"{label.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal)}\"");
        }, iter: 1_000);

    [Fact]
    public void Any_text_gives_a_name_and_none_is_given_twice() =>
        Gen.Frequency((4, Gen.String), (2, SyntaxTreeTests.AnyText), (1, Gen.OneOf("feed", "sum", "Mara O'Neill", "\u00C5sa", "A\u030Asa", "2nd", "", "_", "PL0101", "dB"))).Array[1, 6].Sample(texts =>
        {
            var names = new PlanNames();
            var given = texts.Select(names.Next).ToList();
            given.Select(n => new string(NormalForm.Compose(n))).Should().OnlyHaveUniqueItems();
            var plan = new PlanWriter();
            foreach (var name in given) plan.Unit(name, "PersonalMixer");
            ShouldBeReadAndTidy(plan).Count.Should().Be(given.Count);
        }, iter: 1_000);

    [Theory]
    [InlineData("Mara O'Neill", "mara_o_neill")]
    [InlineData("  Keys  (low) ", "keys_low")]
    [InlineData("Åsa", "åsa")]
    [InlineData("2nd fiddle", "x_2nd_fiddle")]
    [InlineData("Feed", "x_feed")]
    [InlineData("!", "x")]
    public void A_name_is_close_to_what_people_say(string said, string name) => new PlanNames().Next(said).Should().Be(name);

    [Fact]
    public void Any_amount_comes_back_as_it_was() =>
        Gen.Select(Gen.Decimal[-99_999, 99_999], Gen.OneOf("kHz", "ms", "dB", "dBu", "Mbit/s", "%")).Sample((number, symbol) =>
        {
            var amount = Amount.Of(number, symbol);
            Amount.Parse(amount.ToString()).Should().Be(amount);
        });

    [Fact]
    public void A_plan_of_the_writer_compiles()
    {
        var plan = new PlanWriter();
        plan.Use("library/stage.rig");
        plan.Use("library/desks.rig");
        var rack = plan.Unit("rack", new("StageRack", 16, 8)).Labels("Stage rack");
        plan.Feed("fiddle", rack["mic"][17]);

        var found = Compilation.Create(new SourceText("plan.rig", plan.ToString()), _ => FileReading.Failed(FileProblem.NotFound)).Findings;
        found.Where(f => f.Severity == Severity.Error).Select(f => f.Code).Should().Equal("PL0301");
    }

    private static readonly Gen<string> AnyLine = Gen.Frequency(
            (3, Gen.String),
            (2, SyntaxTreeTests.AnyText),
            (1, Gen.OneOf("\"", "\\", "\\\"", "// x", "/*", "*/", "/", "", " ", "feed x : y", "\u2028", "\u0085", "\0")))
        .Select(s => s.Replace('\r', ' ').Replace('\n', ' '));

    private static SyntaxTree ShouldBeReadAndTidy(PlanWriter plan)
    {
        var text = plan.ToString();
        var tree = SyntaxTree.Parse(new SourceText("plan.rig", text));
        tree.Findings.Should().BeEmpty();
        Tidy.Format(tree).Should().Be(text);
        return tree;
    }
}
