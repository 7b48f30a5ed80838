using FluentAssertions;
using PatchLang.Formatting;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Formatting;

/// <summary>What a tidy plan looks like.</summary>
public sealed class TidyTests
{
    [Theory]
    [InlineData("", "")]
    [InlineData("  \n\n ", "")]
    [InlineData("\uFEFFrate 48kHz", "\uFEFFrate 48 kHz\n")]
    [InlineData("rate   48kHz  ", "rate 48 kHz\n")]
    [InlineData("\n\n  rate 48 kHz\n\n\n\nuse \"a.rig\"as a", "rate 48 kHz\n\nuse \"a.rig\" as a\n")]
    [InlineData("unit desk:Desk48(1 ,2)\"Desk\"at 96kHz{place=\"left\" gain=-6..+6dB}", "unit desk : Desk48(1, 2) \"Desk\" at 96 kHz { place = \"left\"  gain = -6..+6 dB }\n")]
    [InlineData("feed a[ L,R ]:rack . mic [ 1 .. 2 ]->desk.ch[1..2]{phantom}", "feed a[L, R] : rack.mic[1..2] -> desk.ch[1..2] { phantom }\n")]
    [InlineData("feed a:sum( b[C]to[L,R]-3dB,c except own )->d", "feed a : sum(b[C] to [L, R] -3 dB, c except own) -> d\n")]
    [InlineData("expect a latency<=5ms", "expect a latency <= 5 ms\n")]
    [InlineData("unit a : B unit c : D", "unit a : B\nunit c : D\n")]
    [InlineData("unit a : B {\n}", "unit a : B { }\n")]
    [InlineData("feed a\n:\nb\n->\nc", "feed a : b -> c\n")]
    public void Blanks_stand_where_the_eye_wants_them(string text, string tidy) => Format(text).Should().Be(tidy);

    [Fact]
    public void Neighbours_of_one_kind_stand_in_columns() =>
        Format("""
            act tide "The Tide Band"
            act bells "Harbour Bells" after tide

            unit rack : StageRack(32, 16) "Stage rack" { place = "up-stage left" }
            unit desk : Desk48 "Desk" { expansion = NetCard(64) }
            unit mixer[1..3] : PersonalMixer "Mara", "Jonas", "Keys"
            unit recorder : Recorder64 "Multitrack" at 96 kHz

            feed fiddle "Fiddle" : rack.mic[1] -> desk.ch[1]
            feed piano[L, R] "Piano" : rack.mic[8, 10] -> desk.ch[8, 10] { phantom }
            feed sea : player.play[1]
            // one by itself
            feed alone : x

            follow desk.expansion from host // the card takes the desk's time
            follow rack from net
            follow ears from slot_a // so does
            follow player from net // the rest
            cable desk.madi -> recorder.madi : coax 12 m "M1"
            cable rack.line[1..4] -> ears.line[1..4] : red[1..4]
            """).Should().Be("""
            act tide  "The Tide Band"
            act bells "Harbour Bells" after tide

            unit rack        : StageRack(32, 16)  "Stage rack"  { place = "up-stage left" }
            unit desk        : Desk48             "Desk"        { expansion = NetCard(64) }
            unit mixer[1..3] : PersonalMixer      "Mara", "Jonas", "Keys"
            unit recorder    : Recorder64         "Multitrack" at 96 kHz

            feed fiddle      "Fiddle" : rack.mic[1] -> desk.ch[1]
            feed piano[L, R] "Piano"  : rack.mic[8, 10] -> desk.ch[8, 10] { phantom }
            feed sea                  : player.play[1]
            // one by itself
            feed alone : x

            follow desk.expansion from host  // the card takes the desk's time
            follow rack           from net
            follow ears           from slot_a  // so does
            follow player         from net     // the rest
            cable desk.madi       -> recorder.madi   : coax 12 m "M1"
            cable rack.line[1..4] -> ears.line[1..4] : red[1..4]

            """);

    [Fact]
    public void Braces_over_several_lines_give_each_thing_in_them_its_line() =>
        Format("""
            gear StageRack(mics, lines) "stage rack" { // at the foot of the crane

            in mic[mics] : analog { phantom full_scale = +18 dBu gain = 0..60 dB }
              out line[lines] : analog { full_scale = +24 dBu } port net : aes67 { in 64 out 64 }
              route mic -> net fixed // one to one
              route net, mic -> line free // any to any


              in wordclock : wordclock
              // what it runs on
              clock main { accuracy = 10 ppm
                from internal, net }
              latency mic -> net 0.4 ms

              // and nothing else

            }
            network stage : aes67 {
              join rack.net, desk.net
              latency 1 ms
              multicast
            } during tide
            format madi "AES10" {
              joins point_to_point way one
              channels 64 at 32..48 kHz
              medium coax up to 50 m, at most 100 m
              medium fibre up to 2000 m }
            """).Should().Be("""
            gear StageRack(mics, lines) "stage rack" {  // at the foot of the crane
              in    mic[mics]   : analog  { phantom  full_scale = +18 dBu  gain = 0..60 dB }
              out   line[lines] : analog  { full_scale = +24 dBu }
              port  net         : aes67   { in 64  out 64 }
              route mic      -> net   fixed  // one to one
              route net, mic -> line  free   // any to any

              in    wordclock : wordclock
              // what it runs on
              clock main {
                accuracy = 10 ppm
                from internal, net
              }
              latency mic -> net 0.4 ms

              // and nothing else
            }
            network stage : aes67 {
              join    rack.net, desk.net
              latency 1 ms
              multicast
            } during tide
            format madi "AES10" {
              joins    point_to_point
              way      one
              channels 64 at 32..48 kHz
              medium   coax  up to 50 m, at most 100 m
              medium   fibre up to 2000 m
            }

            """);

    [Fact]
    public void A_long_feed_breaks_before_its_hops_and_a_long_list_behind_its_commas() =>
        Format("""
            feed band_mix[L, R] "Band" : sum(band before fader, sea before fader -6 dB) -> desk.mix[1..2] -> desk.expansion.net[1..2] -> ears.send[1..2] { note = "the band" }
            feed tapes[1..8] "Tape 1", "Tape 2", "Tape 3", "Tape 4", "Tape 5", "Tape 6", "Tape 7", "Tape 8" : preamps.mic[1..8] -> light.optical[1..8] -> light.line_out[1..8] -> mon.local[9..16] -> mon.ch[9..16]
            feed drums[L, R] "Drums" : sum(kit_mon before fader, tunes_mon before fader -6 dB, voices_mon before fader -6 dB, click_mon before fader, talk_mon before fader) -> mon.mix[5..6]
            bundle everything : fiddle, lead, backing, piano, fiddle_two, lead_two, backing_two, piano_two, fiddle_three, lead_three, backing_three, piano_three
            """).Should().Be("""
            feed band_mix[L, R] "Band" : sum(band before fader, sea before fader -6 dB)
                -> desk.mix[1..2] -> desk.expansion.net[1..2] -> ears.send[1..2] { note = "the band" }
            feed tapes[1..8] "Tape 1", "Tape 2", "Tape 3", "Tape 4", "Tape 5", "Tape 6", "Tape 7", "Tape 8" : preamps.mic[1..8]
                -> light.optical[1..8] -> light.line_out[1..8] -> mon.local[9..16] -> mon.ch[9..16]
            feed drums[L, R] "Drums"
                : sum(kit_mon before fader, tunes_mon before fader -6 dB, voices_mon before fader -6 dB, click_mon before fader,
                    talk_mon before fader)
                -> mon.mix[5..6]
            bundle everything : fiddle, lead, backing, piano, fiddle_two, lead_two, backing_two, piano_two, fiddle_three,
                lead_three, backing_three, piano_three

            """);

    [Fact]
    public void A_long_line_without_hops_opens_its_braces() =>
        Format("""
            unit rack : StageRack(32, 16) "The rack at the foot of the crane, as long as the tide allows" { place = "up-stage left"  note = "keep it dry" }
            """).Should().Be("""
            unit rack : StageRack(32, 16) "The rack at the foot of the crane, as long as the tide allows" {
              place = "up-stage left"
              note  = "keep it dry"
            }

            """);

    [Fact]
    public void No_column_makes_a_line_too_long() =>
        Format("""
            cable a.b -> c.d : coax 12 m "a label that says what this cable is for, and where it runs, and who laid it there"
            cable a_rather_long_name.with_a_long_port[1..16] -> another_long_name.with_a_long_port[1..16] : red[1..16]
            """).Should().Be("""
            cable a.b -> c.d : coax 12 m "a label that says what this cable is for, and where it runs, and who laid it there"
            cable a_rather_long_name.with_a_long_port[1..16] -> another_long_name.with_a_long_port[1..16] : red[1..16]

            """);

    [Fact]
    public void Columns_count_what_the_eye_sees() =>
        Format("act ギター \"a\"\nact e\u0301 \"b\"\nact abc \"c\"").Should().Be("act ギター \"a\"\nact e\u0301      \"b\"\nact abc    \"c\"\n");

    [Fact]
    public void Comments_stay_on_their_line_or_on_one_of_their_own() =>
        Format("""
            /* at the top */ // of it all



                // and below
            feed a : /* first */ x // then
              -> y
              // over the bridge
              -> z /* and */
            /* before */ feed b : x
            feed c : x /* one
              two */ feed d : y
            """).Should().Be("""
            /* at the top */ // of it all

            // and below
            feed a : /* first */ x  // then
                -> y
                // over the bridge
                -> z /* and */
            /* before */ feed b : x
            feed c : x
            /* one
              two */ feed d : y

            """);

    [Fact]
    public void What_cannot_be_read_is_left_as_it_is() =>
        Format("""
            unit   a:B
              fee  x:y   ->
                   z // not
            unit   c:D

            feed   e:[
              f
            unit   g:H
            """).Should().Be("""
            unit a : B
              fee  x:y   ->
                   z  // not
            unit c : D

            feed   e:[
              f
            unit g : H

            """);

    [Theory]
    [InlineData("rate 48 kHz\r\n\r\n\r\n// x\r\nuse \"a\" /* b\n c */\r\n", "rate 48 kHz\r\n\r\n// x\r\nuse \"a\" /* b\r\n c */\r\n")]
    [InlineData("rate 48 kHz\nuse \"a\"\r\nuse \"b\"\n", "rate 48 kHz\nuse \"a\"\nuse \"b\"\n")]
    public void Line_ends_are_of_the_kind_the_file_has_most_of(string text, string tidy) => Format(text).Should().Be(tidy);

    [Fact]
    public void An_edit_takes_white_space_for_white_space_and_no_more_than_it_must()
    {
        var tree = SyntaxTree.Parse(new SourceText("plan.rig", "unit a : B\n\n\n\nunit  c:D { x = 1  y = 2 }"));
        Tidy.Edits(tree).Select(e => (e.Span.Start, e.Span.Length, e.NewText)).Should().Equal((12, 2, ""), (19, 1, ""), (21, 0, " "), (22, 0, " "), (40, 0, "\n"));
    }

    [Fact]
    public void Documentation_stays_on_its_declaration()
    {
        const string text = "/// one\nunit a:B /// not two\n/// two\n/// more\nunit   c:D\n\n/// nobody's\n\nunit e:F";
        var before = SyntaxTree.Parse(new SourceText("plan.rig", text));
        var after = SyntaxTree.Parse(new SourceText("plan.rig", Tidy.Format(before)));
        Enumerable.Range(0, 3).Select(after.DocumentationOf).Should().Equal("one", "two\nmore", "");
        after.DocumentationOf(1).Should().Be(before.DocumentationOf(1));
    }

    private static string Format(string text) => Tidy.Format(SyntaxTree.Parse(new SourceText("plan.rig", text)));
}
