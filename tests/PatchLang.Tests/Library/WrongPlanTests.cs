using FluentAssertions;
using PatchLang.Findings;
using Xunit;

namespace PatchLang.Tests.Library;

/// <summary><c>samples/wrong</c>: fifteen mistakes in one plan, and each is one finding, whatever the others do.</summary>
public sealed class WrongPlanTests
{
    /// <summary>How each mistake is mended: what stands there, and what should.</summary>
    private static readonly Dictionary<string, (string Wrong, string Right)[]> mends = new()
    {
        ["PL0501"] = [("timekeeper desk { standby rack }\n", "timekeeper desk { standby rack }\nfollow desk.expansion from host\n")],
        ["PL0201"] = [(": rak.mic", ": rack.mic")],
        ["PL0306"] = [("desk.expansion.net[3] -> desk.ch[1]", "desk.expansion.net[3] -> desk.ch[3]")],
        ["PL0304"] = [("-> desk.ch[4..5]", "-> desk.ch[4..6]")],
        ["PL0301"] = [("rack.mic[33]", "rack.mic[10]")],
        ["PL0901"] = [("\"Lead vocal\" : rack.mic[9]", "\"Lead vocal\" : rack.mic[11]")],
        ["PL0309"] = [("recorder.madi[11] -> recorder.track[11]", "recorder.madi[10] -> recorder.track[10]")],
        ["PL0903"] = [("plastic_fibre 30 m", "plastic_fibre 4 m")],
        ["PL0302"] = [("strings[1..5]", "strings[1..4]"), (", \"Strings 5\"", ""), ("[1..5]", "[1..4]"), ("[17..21]", "[17..20]")],
        ["PL0303"] = [("[1..20]", "[1..16]")],
        ["PL0401"] = [("-> pa.line[3..4]\n", "{ public }\n")],
        ["PL1304"] = [("bundle band : fiddle, lead, click", "bundle band : fiddle, lead")],
        ["PL1303"] = [("-> mon.local[1] -> mon.ch[1] { phantom }", "-> rack.mic[17] -> desk.expansion.net[17] -> desk.ch[17] { phantom }")],
        ["PL0402"] = [("-> mon.local[24] ->", "-> mon.local[23] ->")],
        ["PL1001"] = [("hears fiddle\n", "hears stems[1]\n")],
    };

    public static TheoryData<string> Codes => [.. mends.Keys];

    [Fact]
    public void It_is_wrong_as_it_says_and_in_no_other_way() => CodesOf(text => text).Should().BeEquivalentTo(Announced());

    [Theory]
    [MemberData(nameof(Codes))]
    public void Mending_one_mistake_takes_its_finding_away_and_brings_no_other(string code) =>
        CodesOf(text => Mend(text, code)).Should().BeEquivalentTo(Announced().Where(c => c != code));

    [Fact]
    public void Mending_all_of_them_leaves_nothing() =>
        CodesOf(text => mends.Keys.Aggregate(text, Mend)).Should().BeEmpty();

    private static string Mend(string text, string code)
    {
        foreach (var (wrong, right) in mends[code])
        {
            text.Should().Contain(wrong);
            text = text.Replace(wrong, right);
        }
        return text;
    }

    private static List<string> CodesOf(Func<string, string> change) =>
        [.. Samples.Compile("wrong/wrong.rig", change).Findings.Where(f => f.Severity >= Severity.Warning).Select(f => f.Code)];

    /// <summary>The codes in the plan's own comments, as it numbers its mistakes.</summary>
    private static List<string> Announced() =>
        [.. Samples.Read("wrong/wrong.rig").Content.Split('\n')
            .Where(l => l.StartsWith("// ", StringComparison.Ordinal) && l.Contains(". PL"))
            .Select(l => l[l.IndexOf("PL", StringComparison.Ordinal)..][..6])];
}
