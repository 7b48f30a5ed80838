using System.Text.RegularExpressions;
using CsCheck;
using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Tests.Syntax;

/// <summary>
/// What can't be read, and what is said of it. Each case is a text with the place of its finding between <c>⟦</c> and
/// <c>⟧</c>, the message, and the text that the first fix makes of it, where there is one.
/// </summary>
public sealed class TextProblemsTests
{
    /// <summary>Words of ours where a path or a title is to stand: each statement seems to leave it to the other to tell.</summary>
    [Theory]
    [InlineData("use rig")]
    [InlineData("use card")]
    [InlineData("rig use")]
    [InlineData("rig unit")]
    [InlineData("rig rig")]
    [InlineData("rig use \"library/stage.rig\"")]
    [InlineData("rate 48 kHz\nuse feed\nunit a : B\n")]
    public void What_lacks_its_path_or_title_is_told_whatever_stands_behind_it(string text) => FindingsOf(text).Should().NotBeEmpty();

    [Theory]
    [InlineData("feed x ⟦=⟧ a -> b", "a feed goes on with `:` and what it starts from, or a label in quotes here, not with `=`", "feed x : a -> b")]
    [InlineData("feed x : a ⟦=⟧ b", "a feed goes on with `->`, `{` or the next statement here, not with `=`", "feed x : a -> b")]
    [InlineData("feed x : a ⟦=⟧> b", "a feed goes on with `->`, `{` or the next statement here, not with `=`", "feed x : a -> b")]
    [InlineData("feed x : a ⟦-⟧-> b", "a feed goes on with `->`, `{` or the next statement here, not with `-`", "feed x : a -> b")]
    [InlineData("feed ⟦:⟧ a", "a feed goes on with its name here, not with `:`", null)]
    [InlineData("feed x :⟦⟧", "a feed is not complete: what it starts from must follow", null)]
    [InlineData("feed x : a ->⟦⟧", "a feed is not complete: the next point on its way must follow", null)]
    [InlineData("feed x⟦⟧", "a feed is not complete: `:` and what it starts from must follow", null)]
    [InlineData("feed x ⟦Lead⟧ vocal : a -> b", "a feed goes on with `:` and what it starts from, or a label in quotes here, not with `Lead`", "feed x \"Lead vocal\" : a -> b")]
    [InlineData("unit a :⟦⟧", "a unit is not complete: the name of its gear must follow", null)]
    [InlineData("unit a :⟦:⟧ B", "a unit goes on with the name of its gear here, not with `:`", "unit a : B")]
    [InlineData("unit a : B(⟦x⟧)", "the list of counts goes on with a number of channels here, not with `x`", null)]
    [InlineData("unit a : B at ⟦kHz⟧ 48", "a unit goes on with a rate such as 48 kHz here, not with `kHz`", null)]
    [InlineData("rate⟦⟧", "`rate` is not complete: a rate such as 48 kHz must follow", null)]
    [InlineData("reserve rack.mic[3]⟦⟧", "`reserve` is not complete: the reason in quotes must follow", null)]
    [InlineData("allow ⟦x⟧ \"y\"", "`allow` goes on with the code of a finding such as `PL0907` here, not with `x`", null)]
    [InlineData("follow rack from⟦⟧", "`follow` is not complete: a source of time must follow", null)]
    [InlineData("cable a ⟦:⟧ 5 m", "a cable goes on with `->` and its other end here, not with `:`", null)]
    [InlineData("act bells after⟦⟧", "an act is not complete: the act before it must follow", null)]
    [InlineData("expect x ⟦<⟧ 5 ms", "`expect` goes on with `latency`, `headroom`, `hears`, `never hears` or `spare` here, not with `<`", null)]
    [InlineData("expect x spare ⟦>=⟧ 8", "`spare` goes on with `in` or `out` here, not with `>=`", null)]
    [InlineData("card X ⟦{⟧ }", "a card goes on with `for` and the kind of slot that it fits, or `(` here, not with `{`", null)]
    [InlineData("gear X { route mic -> net ⟦}⟧", "`route` goes on with `either`, `fixed` or `free` here, not with `}`", null)]
    [InlineData("format x { joins ⟦}⟧", "`joins` goes on with `point_to_point`, `switched` or `shared` here, not with `}`", null)]
    [InlineData("network n : aes67⟦⟧", "a network is not complete: `{` and its lines must follow", null)]
    [InlineData("feed x : a[1⟦-⟧4]", "an index goes on with `]`, `,` or `..` here, not with `-`", "feed x : a[1..4]")]
    [InlineData("feed x : a[1⟦)⟧ -> c", "an index goes on with `]`, `,` or `..` here, not with `)`", "feed x : a[1] -> c")]
    [InlineData("feed x : lead at⟦⟧", "a feed is not complete: a point on its way must follow", null)]
    [InlineData("feed x : a ⟦to⟧ [L, R]", "a feed goes on with `->`, `{` or the next statement here, not with `to`", null)]
    [InlineData("feed x : sum(a to ⟦L⟧) -> b", "`to` goes on with names in brackets such as `[L, R]` here, not with `L`", null)]
    [InlineData("gear X { } ⟦out⟧ a : line }", "`gear` is complete before `out`, which opens no statement of its own", null)]
    public void Unexpected_text_is_told_with_what_could_stand_there(string marked, string? message, string? mended) =>
        Expect(marked, TextFindings.UnexpectedText, message, mended);

    [Theory]
    [InlineData("feed x \"L\" ⟦rack⟧.mic[1] -> b", "`:` is missing before `rack`", "feed x \"L\" : rack.mic[1] -> b")]
    [InlineData("feed x : a ⟦b⟧", "`->` is missing before `b`", "feed x : a -> b")]
    [InlineData("feed x : rack ⟦mic⟧[1] -> b.c", "`.` is missing before `mic`", "feed x : rack.mic[1] -> b.c")]
    [InlineData("feed x ⟦Lead⟧ vocal\" : a -> b", "`\"` is missing before `Lead`", "feed x \"Lead vocal\" : a -> b")]
    [InlineData("feed x : mic[1 ⟦2⟧]", "an index goes on with `]`, `,` or `..` here, not with `2`", "feed x : mic[1, 2]")]
    [InlineData("feed x : a.b⟦.1⟧ -> c.d.2..3", "a number behind a name stands in brackets: `a.b[1]`, not `a.b.1`", "feed x : a.b[1] -> c.d[2..3]")]
    [InlineData("bundle x : a ⟦b⟧", "`,` is missing before `b`", "bundle x : a, b")]
    [InlineData("feed x : sum(a ⟦b⟧) -> c", "`,` is missing before `b`", "feed x : sum(a, b) -> c")]
    [InlineData("unit a : B(32 ⟦16⟧)", "`,` is missing before `16`", "unit a : B(32, 16)")]
    [InlineData("network n : aes67 { join a.b ⟦c⟧.d }", "`,` is missing before `c`", "network n : aes67 { join a.b, c.d }")]
    [InlineData("follow rack ⟦net⟧", "`from` is missing before `net`", "follow rack from net")]
    [InlineData("format x { channels 64 ⟦32⟧..48 kHz }", "`at` is missing before `32`", "format x { channels 64 at 32..48 kHz }")]
    [InlineData("expect x latency ⟦5⟧ ms", "`<=` is missing before `5`", "expect x latency <= 5 ms")]
    [InlineData("feed x : a { delay ⟦12⟧ ms }", "`=` is missing before `12`", "feed x : a { delay = 12 ms }")]
    [InlineData("feed x : a ⟦phantom⟧", "settings stand in braces: `{` is missing before `phantom`, and `}` behind the last", "feed x : a { phantom }")]
    [InlineData("unit a : B ⟦place⟧ = \"x\" during t", "settings stand in braces: `{` is missing before `place`, and `}` behind the last", "unit a : B { place = \"x\" } during t")]
    [InlineData("use ⟦library/stage.rig⟧ as s", "`use` goes on with a path in quotes: \"library/stage.rig\"", "use \"library/stage.rig\" as s")]
    [InlineData("rig ⟦Lantern Quay, harbour⟧", "`rig` goes on with the title in quotes: \"Lantern Quay, harbour\"", "rig \"Lantern Quay, harbour\"")]
    public void What_is_missing_is_named_and_put_in(string marked, string message, string mended) =>
        Expect(marked, TextFindings.UnexpectedText, message, mended);

    [Theory]
    [InlineData("feed x : rack.mic⟦(1)⟧ -> b.ch(2)", "(1)", "[1]", "feed x : rack.mic[1] -> b.ch[2]")]
    [InlineData("unit a : B⟦[16, 8]⟧ \"Rack\"", "[16, 8]", "(16, 8)", "unit a : B(16, 8) \"Rack\"")]
    [InlineData("feed x : a.b[3⟦...⟧4] -> c", "...", "..", "feed x : a.b[3..4] -> c")]
    [InlineData("feed x : ⟦som⟧(a, b) -> c", "som", "sum", "feed x : sum(a, b) -> c")]
    [InlineData("feed x : sum(a ⟦post⟧, b) -> c", "post", "after fader", "feed x : sum(a after fader, b) -> c")]
    [InlineData("feed x : sum(a, b ⟦pre-fader⟧) -> c", "pre-fader", "before fader", "feed x : sum(a, b before fader) -> c")]
    [InlineData("feed x : a { ⟦48V⟧ }", "48V", "phantom", "feed x : a { phantom }")]
    public void What_is_spelt_otherwise_elsewhere_is_known(string marked, string written, string meant, string mended) =>
        Expect(marked, TextFindings.UnexpectedText, $"`{written}` means nothing here; did you mean `{meant}`?", mended);

    [Theory]
    [InlineData("feed x : a.b ⟦=⟧> c => d { phantom }", "=", "feed x : a.b -> c -> d { phantom }")]
    [InlineData("feed x : a.b ⟦to⟧ c.d to e.f", "to", "feed x : a.b -> c.d -> e.f")]
    [InlineData("feed x : a.b ⟦<⟧- c.d", "<", "feed x : a.b -> c.d")]
    public void An_arrow_of_other_signs_is_mended_wherever_it_stands(string marked, string found, string mended) =>
        Expect(marked, TextFindings.UnexpectedText, $"a feed goes on with `->`, `{{` or the next statement here, not with `{found}`", mended);

    [Theory]
    [InlineData("feed x : rack.mic[3 ⟦->⟧ b", "`]` is missing before `->`", "feed x : rack.mic[3] -> b")]
    [InlineData("feed x : sum(a, b⟦⟧", "`(` is not closed: `)` is missing", "feed x : sum(a, b)")]
    [InlineData("feed x : a { phantom⟦⟧", "`{` is not closed: `}` is missing", "feed x : a { phantom }")]
    [InlineData("gear X {\n  out play[2] : line⟦⟧\nunit a : X", "`{` is not closed: `}` is missing", "gear X {\n  out play[2] : line\n}\nunit a : X")]
    [InlineData("gear X { in a : line { phantom⟦⟧", "2 brackets are not closed: `}` and `}` are missing", "gear X { in a : line { phantom } }")]
    [InlineData("gear X {\n  in a : line { phantom\n  ⟦out⟧ b : line\n}", "`}` is missing before `out`", "gear X {\n  in a : line { phantom }\n  out b : line\n}")]
    [InlineData("unit a : B ⟦}⟧", "`}` closes nothing: no bracket is open here", "unit a : B ")]
    public void Brackets_are_matched(string marked, string message, string mended) =>
        Expect(marked, TextFindings.UnexpectedText, message, mended);

    [Theory]
    [InlineData("follow rack ⟦fromm⟧ net", "from", "follow rack from net")]
    [InlineData("timekeeper desk { ⟦standbye⟧ rack }", "standby", "timekeeper desk { standby rack }")]
    [InlineData("expect x ⟦latancy⟧ <= 5 ms", "latency", "expect x latency <= 5 ms")]
    [InlineData("gear X { ⟦prot⟧ net : aes67 }", "port", "gear X { port net : aes67 }")]
    [InlineData("gear X { ⟦rout⟧ mic -> net fixed }", "route", "gear X { route mic -> net fixed }")]
    [InlineData("format x { ⟦chanels⟧ 64 at 48 kHz }", "channels", "format x { channels 64 at 48 kHz }")]
    public void A_word_spelt_nearly_right_is_named(string marked, string meant, string mended)
    {
        var written = marked[(marked.IndexOf('⟦') + 1)..marked.IndexOf('⟧')];
        Expect(marked, TextFindings.UnexpectedText, $"`{written}` means nothing here; did you mean `{meant}`?", mended);
    }

    [Theory]
    [InlineData("⟦fee⟧ x : a -> b", "`fee` opens no statement; did you mean `feed`?", "feed x : a -> b")]
    [InlineData("feed y : c\n⟦Feed⟧ x : a -> b", "`Feed` opens no statement; did you mean `feed`?", "feed y : c\nfeed x : a -> b")]
    [InlineData("⟦feedlead⟧ : a -> b", "`feedlead` opens no statement; did you mean `feed lead`?", "feed lead : a -> b")]
    [InlineData("⟦rack⟧.mic[8] -> desk.ch[8] { phantom }", "`rack` opens no statement; is `feed NAME :` missing before it?", "feed rack_mic_8 : rack.mic[8] -> desk.ch[8] { phantom }")]
    [InlineData("⟦rack⟧ follows net", "`rack` opens no statement; did you mean `follow rack from net`?", "follow rack from net")]
    [InlineData("⟦x⟧ : a -> b", "`x` opens no statement; is `feed` missing before it?", "feed x : a -> b")]
    [InlineData("⟦StageRack⟧(16) { in a : b }", "`StageRack` opens no statement; a remark goes behind `//`", "// StageRack(16) { in a : b }")]
    [InlineData("bundle b : fiddle, lead\n  ⟦piano⟧, bells", "`piano` opens no statement; if a bundle goes on here, `,` is missing before it", "bundle b : fiddle, lead\n  , piano, bells")]
    [InlineData("feed y : c\n  ⟦recorder⟧.track[1]", "`recorder` opens no statement; if a feed goes on here, `->` is missing before it", "feed y : c\n  -> recorder.track[1]")]
    [InlineData("unit a : B\n⟦port⟧ x : madi", "`port` opens no statement; it stands in the braces of `gear` or `card`", null)]
    [InlineData("⟦remember⟧ the long lead", "`remember` opens no statement; a remark goes behind `//`", "// remember the long lead")]
    [InlineData("feed y : c\n⟦need⟧ the long lead\nand another\nunit a : B", "2 lines from here on open no statement; a remark goes behind `//`", "feed y : c\n// need the long lead\n// and another\nunit a : B")]
    [InlineData("⟦}⟧", "`}` opens no statement; each opens with its own word, such as `unit` or `feed`", null)]
    public void A_line_that_opens_no_statement(string marked, string message, string? mended) =>
        Expect(marked, TextFindings.UnreadableStatement, message, mended);

    [Theory]
    [InlineData("unit player : Player ⟦\"Playback, upper deck⟧\nunit x : Y", "unit player : Player \"Playback, upper deck\"\nunit x : Y")]
    [InlineData("feed x ⟦\"Label⟧ : rack.mic[1] -> b", "feed x \"Label\" : rack.mic[1] -> b")]
    [InlineData("unit a : B ⟦\"Stage rack⟧”", "unit a : B \"Stage rack\"")]
    [InlineData("unit a : B ⟦\"Stage rack   // by the crane⟧", "unit a : B \"Stage rack   // by the crane\"")]
    public void A_text_that_is_not_closed_ends_with_its_line(string marked, string mended)
    {
        var text = marked[(marked.IndexOf('⟦') + 1)..marked.IndexOf('⟧')];
        Expect(marked, TextFindings.OpenString, $"the text `{text}` is not closed on its line", mended);
    }

    [Theory]
    [InlineData("⟦/*⟧ open\nfeed x : a", "/* open */\nfeed x : a")]
    [InlineData("gear X { in a : b ⟦/*⟧ the rest\n}\nfeed x : a", "gear X { in a : b /* the rest\n} */\nfeed x : a")]
    public void A_comment_that_is_not_closed_ends_before_the_next_statement(string marked, string mended) =>
        Expect(marked, TextFindings.OpenComment, "the comment that begins here is never closed; it is taken to end before the next statement", mended);

    [Theory]
    [InlineData("feed x : a ⟦→⟧ b", "`→` has no meaning here; an arrow is typed `->`", "feed x : a -> b")]
    [InlineData("feed x : a ⟦–>⟧ b", "`–>` has no meaning here; an arrow is typed `->`", "feed x : a -> b")]
    [InlineData("feed x : a ⟦→⟧ b → c", "`→` has no meaning here; an arrow is typed `->` (2 times in this statement)", "feed x : a -> b -> c")]
    [InlineData("unit a : B ⟦“⟧Stage rack”", "texts stand in straight quotes; type `\"` (2 times in this statement)", "unit a : B \"Stage rack\"")]
    [InlineData("feed x : a ⟦–⟧ b", "`–` has no meaning here; type `->`", "feed x : a -> b")]
    [InlineData("feed x : mic[1⟦–⟧3] -> b", "`–` has no meaning here; type `..`", "feed x : mic[1..3] -> b")]
    [InlineData("feed x : sum(a ⟦−⟧6 dB) -> b", "`−` has no meaning here; type `-`", "feed x : sum(a -6 dB) -> b")]
    [InlineData("unit up⟦–⟧stage : X", "`–` can't stand in a name; type `_`", "unit up_stage : X")]
    [InlineData("feed kick⟦/⟧snare : c", "`/` can't stand in a name; type `_`", "feed kick_snare : c")]
    [InlineData("feed x :⟦\u00A0⟧a", "a special kind of space stands here (U+00A0); type a plain one", "feed x : a")]
    [InlineData("feed x : ⟦\u200B⟧a", "a character that can't be seen stands here (U+200B); it has no meaning outside of quotes and comments", "feed x : a")]
    [InlineData("feed x : a⟦;⟧", "`;` has no meaning here; a statement needs no mark at its end", "feed x : a")]
    [InlineData("rate 48 kHz⟦;⟧use \"a.rig\"", "`;` has no meaning here; a statement needs no mark at its end", "rate 48 kHz use \"a.rig\"")]
    [InlineData("network n : x { link 1 ⟦Gb/s⟧ }", "`Gb/s` is no unit of a data rate; did you mean `Gbit/s`?", "network n : x { link 1 Gbit/s }", "PL0107")]
    [InlineData("unit mixer ⟦×⟧ 6 : B", "`×` has no meaning here; several alike are counted in brackets, as in `mixer[1..6]`", null)]
    [InlineData("feed x : a ⟦#⟧ the singer's own", "`#` has no meaning here; a remark goes behind `//`", "feed x : a // the singer's own")]
    [InlineData("feed x : a ⟦*/⟧", "`*/` closes a comment that nothing opened", "feed x : a ")]
    [InlineData("expect x latency ⟦≤⟧ 5 ms", "`≤` has no meaning here; type `<=`", "expect x latency <= 5 ms")]
    [InlineData("feed x⟦：⟧a", "`：` has no meaning here; type `:`", "feed x:a")]
    [InlineData("feed x : a ⟦@⟧ b", "`@` has no meaning outside of quotes and comments", null)]
    public void A_stray_character_is_named_with_what_to_type(string marked, string message, string? mended, string code = "PL0105") =>
        Expect(marked, FindingCatalogue.Find(code)!, message, mended);

    [Theory]
    [InlineData("gear ⟦feed⟧ { out a : line }", "`feed` opens a statement wherever it stands, so it is no name; `x_feed` would be one", "gear x_feed { out a : line }")]
    [InlineData("feed x : rack.⟦rate⟧ -> b", "`rate` opens a statement wherever it stands, so it is no name; `x_rate` would be one", "feed x : rack.x_rate -> b")]
    [InlineData("unit x : ⟦rig⟧ \"Label\"", "`rig` opens a statement wherever it stands, so it is no name; `x_rig` would be one", "unit x : x_rig \"Label\"")]
    [InlineData("gear X {\n  ⟦feed⟧ = 5\n  out a : line\n}\nfeed x : y", "`feed` opens a statement wherever it stands, so it is no name; `x_feed` would be one", "gear X {\n  x_feed = 5\n  out a : line\n}\nfeed x : y")]
    [InlineData("bundle b : fiddle,\n  ⟦rate⟧, x\nfeed x : y", "`rate` opens a statement wherever it stands, so it is no name; `x_rate` would be one", "bundle b : fiddle,\n  x_rate, x\nfeed x : y")]
    [InlineData("feed ⟦sum⟧ : a", "`sum` has a meaning of its own wherever it stands, so it is no name; `x_sum` would be one", "feed x_sum : a")]
    [InlineData("gear ⟦any⟧ { }", "`any` has a meaning of its own wherever it stands, so it is no name; `x_any` would be one", "gear x_any { }")]
    [InlineData("unit a : B { ⟦rate⟧ = 96 kHz }", "`rate` opens a statement wherever it stands, so it is no setting; a unit's own rate stands before its braces, as in `at 96 kHz`", null)]
    public void A_reserved_word_is_no_name(string marked, string message, string? mended) =>
        Expect(marked, TextFindings.ReservedWord, message, mended);

    [Theory]
    [InlineData("rate ⟦48⟧", "a rate needs a unit: 48 kHz?", "rate 48 kHz")]
    [InlineData("rate ⟦48000⟧", "a rate needs a unit: 48000 Hz?", "rate 48000 Hz")]
    [InlineData("network n : x { latency ⟦5⟧ }", "a latency needs a unit: 5 ms?", "network n : x { latency 5 ms }")]
    [InlineData("network n : x { link ⟦1⟧ }", "a link speed needs a unit: 1 Gbit/s?", "network n : x { link 1 Gbit/s }")]
    [InlineData("cable a -> b : ⟦5⟧", "a length needs a unit: 5 m?", "cable a -> b : 5 m")]
    [InlineData("format x { channels 64 at ⟦32..48⟧ }", "a rate needs a unit: 32..48 kHz?", "format x { channels 64 at 32..48 kHz }")]
    [InlineData("gear x { latency a -> b ⟦5⟧ }", "a latency needs a unit: 5 ms?", "gear x { latency a -> b 5 ms }")]
    [InlineData("feed x : sum(a ⟦-6⟧) -> c", "a gain needs a unit: -6 dB?", "feed x : sum(a -6 dB) -> c")]
    [InlineData("expect x headroom >= ⟦6⟧", "headroom needs a unit: 6 dB?", "expect x headroom >= 6 dB")]
    [InlineData("rate 48 ⟦khz⟧", "`khz` is no unit of a rate; did you mean `kHz`?", "rate 48 kHz")]
    [InlineData("cable a -> b : 5 ⟦metres⟧", "`metres` is no unit of a length; did you mean `m`?", "cable a -> b : 5 m")]
    [InlineData("rate 48⟦fps⟧", "`fps` is no unit of a rate; that is given in Hz, kHz or MHz", null)]
    [InlineData("feed x : a { ⟦m⟧ = 5 }", "`m` is a unit: a number is missing before it, and no setting can be called so", null)]
    public void A_number_needs_its_unit(string marked, string message, string? mended) =>
        Expect(marked, TextFindings.MissingUnit, message, mended);

    [Theory]
    [InlineData("cable a -> b : ⟦.5⟧ m", "`.5` lacks the nought before its point: 0.5", "cable a -> b : 0.5 m")]
    [InlineData("cable a -> b : ⟦1.⟧ m", "`1.` ends in a point without a fraction: 1", "cable a -> b : 1 m")]
    [InlineData("cable a -> b : ⟦1.5.2⟧ m", "`1.5.2` is no number: a number has one point at most", null)]
    [InlineData("rate ⟦44,1⟧ kHz", "`44,1` has a comma before its fraction; a fraction stands behind a point: 44.1", "rate 44.1 kHz")]
    [InlineData("rate ⟦48 000⟧ Hz", "`48 000` is two numbers; the digits of one stand together: 48000", "rate 48000 Hz")]
    [InlineData("rate ⟦44_100⟧ Hz", "`44_100` has a separator among its digits; numbers are written without: 44100", "rate 44100 Hz")]
    [InlineData("rate ⟦44,100⟧ Hz", "`44,100` has a separator among its digits; numbers are written without: 44100", "rate 44100 Hz")]
    [InlineData("feed x[1..⟦1_000⟧] : a", "`1_000` has a separator among its digits; numbers are written without: 1000", "feed x[1..1000] : a")]
    [InlineData("rate ⟦48e3⟧ Hz", "`48e3` is no number; numbers are written out: 48000", "rate 48000 Hz")]
    [InlineData("cable a -> b : ⟦5e-1⟧ m", "`5e-1` is no number; numbers are written out: 0.5", "cable a -> b : 0.5 m")]
    [InlineData("feed ⟦2nd⟧ : a -> b", "`2nd` is neither a number nor a name: a name begins with a letter or `_`", "feed _2nd : a -> b")]
    [InlineData("unit ⟦up-stage⟧ : X", "`up-stage` is no name: names are letters, digits and `_`, as in `up_stage`", "unit up_stage : X")]
    [InlineData("feed x : sum(⟦up-stage⟧) -> b", "`up-stage` is no name: names are letters, digits and `_`, as in `up_stage`", "feed x : sum(up_stage) -> b")]
    [InlineData("unit a : X { place = ⟦up-stage⟧ }", "`up-stage` is no name: names are letters, digits and `_`, as in `up_stage`", "unit a : X { place = \"up-stage\" }")]
    public void Numbers_and_names_that_go_on_as_neither(string marked, string message, string? mended) =>
        Expect(marked, TextFindings.MalformedNumber, message, mended);

    [Fact]
    public void A_statement_too_long_is_one_finding()
    {
        var findings = FindingsOf("bundle b : a" + string.Concat(Enumerable.Repeat(", a", Statement.MostTokens)) + "\nfeed x : y");

        findings.Should().ContainSingle().Which.Message.Should().Be("this statement holds more than 16,000 words, numbers and signs, and is not read");
        findings[0].Kind.Should().Be(TextFindings.StatementTooLong);
    }

    [Fact]
    public void One_mistake_is_one_finding_and_lines_inside_braces_have_their_own()
    {
        FindingsOf("""
            gear X {
              in a ⟦⟧5 : line
              port b c
              out d : line { phantom = }
              out e : line
            }
            """.Replace("⟦⟧", "")).Select(f => f.Message).Should().Equal(
            "`in` goes on with `:` and its format, or `,` here, not with `5`",
            "`:` is missing before `c`",
            "a setting goes on with a value here, not with `}`");
    }

    [Fact]
    public void A_remark_that_would_hide_the_next_statement_is_not_made_unasked() =>
        FindingsOf("unit a : B\n#feed x : y")[0].Fixes.Should().ContainSingle().Which.IsSafe.Should().BeFalse();

    [Fact]
    public void Each_reserved_word_in_a_name_is_told() =>
        FindingsOf("feed x : unit.rate -> b").Select(f => f.Code).Should().Equal("PL0106", "PL0106");

    [Fact]
    public void A_bracket_that_is_not_closed_shows_where_it_was_opened()
    {
        var related = FindingsOf("feed x : a { phantom").Should().ContainSingle().Subject.Related.Should().ContainSingle().Subject;

        related.Should().Be(new Place(related.Source, new TextSpan(11, 1), "opened here"));
    }

    [Fact]
    public void An_edit_elsewhere_keeps_what_was_found()
    {
        var tree = SyntaxTree.Parse(new SourceText("plan.rig", "unit a : B\nunit c D\nfeed x : y"));
        var before = tree.Findings.Should().ContainSingle().Subject;
        var after = tree.With(new TextChange(new TextSpan(5, 1), "another")).Findings.Should().ContainSingle().Subject;

        after.Message.Should().Be(before.Message);
        after.Place.Span.Should().Be(before.Place.Span.Moved(6));
        after.Fixes[0].Edits[0].Span.Should().Be(before.Fixes[0].Edits[0].Span.Moved(6));
    }

    [Fact]
    public void Of_very_many_statements_that_cannot_be_read_a_thousand_are_told_and_how_many_more_there_are()
    {
        var text = string.Join('\n', Enumerable.Range(0, 5_000).Select(i => $"feed f{i} :"));
        var findings = FindingsOf(text);

        findings.Select(f => f.Kind).Should().Equal([.. Enumerable.Repeat(TextFindings.UnexpectedText, TextProblems.MostTold), TextFindings.ManyUnread]);
        findings[^1].Message.Should().Be("4,000 more statements from here on can't be read; of one file the first 1,000 are told");
        text[findings[^1].Place.Span.Start..].Should().StartWith("feed f1000 :");
    }

    [Fact]
    public void What_is_not_told_of_very_many_is_not_looked_into()
    {
        const int few = 2_000;
        const int many = 200_000;
        _ = AllocatedFor(few); // what is made once

        // Of those that are not told not even a word is kept.
        AllocatedFor(many).Should().BeLessThan(AllocatedFor(few) + (many - few));

        static long AllocatedFor(int lines)
        {
            var tree = SyntaxTree.Parse(new SourceText("plan.rig", string.Concat(Enumerable.Repeat("high tide\n", lines))));
            var before = GC.GetAllocatedBytesForCurrentThread();
            tree.Findings.Should().HaveCount(2);
            return GC.GetAllocatedBytesForCurrentThread() - before;
        }
    }

    [Theory]
    [InlineData(0, "feed f0 : a\n")]
    [InlineData(0, "feed x :\nfeed y :\n")]
    [InlineData(500, "")]
    [InlineData(1_000, "")]
    public void An_edit_moves_the_end_of_what_is_told(int line, string to)
    {
        List<string> lines = [.. Enumerable.Range(0, 1_001).Select(i => $"feed f{i} :\n")];
        var tree = SyntaxTree.Parse(new SourceText("plan.rig", string.Concat(lines)));
        _ = tree.Findings;
        var next = tree.With(new TextChange(new TextSpan(lines.Take(line).Sum(l => l.Length), lines[line].Length), to));

        next.Findings.Select(Said).Should().Equal(SyntaxTree.Parse(next.Source).Findings.Select(Said));
    }

    [Fact]
    public void Any_text_gives_findings_that_lie_in_it_and_speak_of_the_plan() =>
        Mutation.Sample(text =>
        {
            var tree = SyntaxTree.Parse(new SourceText("plan.rig", text));
            var whole = new TextSpan(0, text.Length);
            foreach (var finding in tree.Findings)
            {
                whole.Contains(finding.Place.Span).Should().BeTrue();
                foreach (var related in finding.Related) whole.Contains(related.Span).Should().BeTrue();
                foreach (var fix in finding.Fixes)
                {
                    fix.Edits.Should().NotBeEmpty().And.AllSatisfy(e => whole.Contains(e.Span).Should().BeTrue());
                    Mended(text, fix).Should().NotBe(text);
                }
                // What is quoted is the plan's own.
                Regex.Replace(finding.Message, "`[^`]*`|\"[^\"]*\"", "").Should().NotBeEmpty()
                    .And.NotContainAny("token", "mismatched", "expecting", "viable", "rule", "parse", "grammar", "EOF", "  ;")
                    .And.NotMatchRegex("[A-Za-z][a-z]+[A-Z]");
            }
            tree.Findings.Select(f => f.Place.Span.Start).Should().BeInAscendingOrder();
            var broken = Enumerable.Range(0, tree.Count).Where(i => !tree[i].Shape.IsRead).Select(i => tree[i].Text).ToList();
            (broken.Count > 0).Should().Be(tree.Findings.Length > 0, "{0}", string.Join(" | ", broken));
        }, iter: 2_000);

    [Theory]
    [InlineData("timekeeper desk { standby rack now }")]
    [InlineData("bundle x : lead vocal")]
    [InlineData("feed x : sum(lead vocal) -> b.c")]
    [InlineData("feed x : a.b now")]
    [InlineData("feed x : a.b c.d[1]")]
    [InlineData("network n : aes67 { join a.b c.d }")]
    [InlineData("feed x : a.b[1 2]")]
    [InlineData("rate 44,100 Hz")]
    public void What_may_be_a_word_or_a_digit_too_many_is_not_mended_unasked(string text) =>
        FindingsOf(text)[0].Fixes.Should().NotBeEmpty().And.NotContain(f => f.IsSafe);

    [Theory]
    [InlineData("feed x : sum(a after fader b after fader) -> c.d")]
    [InlineData("unit m[1..2] : B \"Mara\" \"Jonas\"")]
    [InlineData("feed x : a.b[1] c.d[1]")]
    public void A_sign_between_two_that_can_only_follow_each_other_is_put_in_unasked(string text) =>
        FindingsOf(text)[0].Fixes.Should().Contain(f => f.IsSafe);

    [Fact]
    public void Fixes_that_are_safe_mend_and_bring_nothing_new() =>
        Mutation.Sample(text =>
        {
            var findings = FindingsOf(text);
            foreach (var fix in findings.SelectMany(f => f.Fixes).Where(f => f.IsSafe))
                FindingsOf(Mended(text, fix)).Length.Should().BeLessThan(findings.Length, "{0}: {1}", string.Join(" | ", findings.Select(f => f.Message)), fix);
        }, iter: 500);

    [Fact]
    public void An_edit_gives_the_findings_of_the_whole_text() =>
        Gen.Select(Mutation, Gen.Int[0, 10_000], Gen.Int[0, 20], Piece).Sample((text, at, length, piece) =>
        {
            at = Math.Min(at, text.Length);
            var change = new TextChange(new TextSpan(at, Math.Min(length, text.Length - at)), piece);
            var tree = SyntaxTree.Parse(new SourceText("plan.rig", text));
            _ = tree.Findings;
            var next = tree.With(change);

            next.Findings.Select(Said).Should().Equal(SyntaxTree.Parse(next.Source).Findings.Select(Said));
        }, iter: 500);

    private static readonly string[] Pieces =
    [
        "", " ", "\n", "{", "}", "[", "]", "(", ")", ":", ",", ".", "..", "->", "=", "-", "<=", "\"", "/*", "*/", "//", "feed", "rate", "sum", "any", "during",
        "unit x : Y", "\nfee x : y\n", "name", "in", "port", "48", "kHz", ".5", "2nd", "up-stage", "→", "“", "–", "\u00A0", ";", "#", "'", "@", "\uD800", "𝄞", " 5 ", "use x", "\"\"", "x.rate", "1,5",
    ];

    private static readonly Gen<string> Piece = Gen.Int[0, Pieces.Length - 1].Select(i => Pieces[i]);

    // The sample plan with a few pieces put in or taken out.
    private static readonly Gen<string> Mutation =
        Gen.Select(Gen.Int[0, SamplePlan.Text.Length], Gen.Int[0, 6], Piece).Array[1, 4].Select(changes =>
        {
            var text = SamplePlan.Text;
            foreach (var (position, length, piece) in changes)
            {
                var at = Math.Min(position, text.Length);
                text = text[..at] + piece + text[Math.Min(at + length, text.Length)..];
            }
            return text;
        });

    private static (string, string, TextSpan) Said(Finding finding) => (finding.Code, finding.Message, finding.Place.Span);

    private static void Expect(string marked, FindingKind kind, string? message, string? mended)
    {
        var start = marked.IndexOf('⟦');
        var text = marked.Replace("⟦", "").Replace("⟧", "");
        var finding = FindingsOf(text).Should().ContainSingle().Subject;

        finding.Message.Should().Be(message);
        finding.Kind.Should().Be(kind);
        finding.Place.Span.Should().Be(TextSpan.FromTo(start, marked.IndexOf('⟧') - 1));
        (finding.Fixes.IsEmpty ? null : Mended(text, finding.Fixes[0])).Should().Be(mended);
    }

    private static System.Collections.Immutable.ImmutableArray<Finding> FindingsOf(string text) =>
        SyntaxTree.Parse(new SourceText("plan.rig", text)).Findings;

    private static string Mended(string text, Fix fix)
    {
        foreach (var edit in fix.Edits.OrderByDescending(e => e.Span.Start))
            text = text[..edit.Span.Start] + edit.NewText + text[edit.Span.End..];
        return text;
    }
}
