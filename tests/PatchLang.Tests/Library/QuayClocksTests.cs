using FluentAssertions;
using PatchLang.Findings;
using Xunit;

namespace PatchLang.Tests.Library;

/// <summary>The harbour stage with a fault in its clocks: each is found, with the number that a calculation by hand gives.</summary>
public class QuayClocksTests
{
    private static Finding Broken(string sound, string broken) =>
        Samples.Broken("lantern-quay/lantern-quay.rig", "equipment.rig", sound, broken).Findings.Should().ContainSingle(f => f.Severity >= Severity.Warning).Subject;

    // The card was left as it came from the factory. It is within 20 ppm, the desk within 10 (library/cards.rig, library/desks.rig).
    // By hand: 1 s / (48 000 · 30 · 10⁻⁶) = 1 / 1.44 = 0.694 s; at 5 ppm 1 / 0.24 = 4.2 s; at 2 ppm 1 / 0.096 = 10.4 s.
    [Fact]
    public void A_card_that_was_not_told_to_follow_its_desk()
    {
        var finding = Broken("follow desk.expansion from host\n", "");

        finding.Code.Should().Be("PL0501");
        finding.Message.Should().Be(
            "desk runs on the clock of desk and desk.expansion on that of desk.expansion, with nothing between that resamples: "
            + "at 48 kHz expect a click every 4 to 10 seconds (ordinary clocks are 2 to 5 ppm apart), about once in 694 ms at worst (10 and 20 ppm, added)");
        (1 / (48000 * 30e-6)).Should().BeApproximately(0.694, 5e-4);
        finding.Fixes[0].Title.Should().Be("make desk.expansion follow its host");
    }

    // By hand: 1 s / (48 000 · (10 + 20) · 10⁻⁶) = 0.694 s for the recorder, too.
    [Fact]
    public void A_recorder_that_runs_free()
    {
        var finding = Broken("follow recorder       from madi\n", "");

        finding.Code.Should().Be("PL0501");
        finding.Message.Should().Contain("desk.madi runs on the clock of desk and recorder.madi on that of recorder").And.Contain("about once in 694 ms at worst (10 and 20 ppm, added)");
    }

    // The radio receiver was set to priority 1 of 100 on its panel; the plan gives the desk's card 128 − 2 = 126. Lower leads.
    // Its clock is within 50 ppm (library/radio.rig), the desk's within 10. By hand: 1 s / (48 000 · 60 · 10⁻⁶) = 1 / 2.88 = 0.347 s.
    [Fact]
    public void A_member_whose_priority_was_set_lower()
    {
        var finding = Broken("unit radio : NetRadioReceiver(4)  \"Radio receiver\"  { place", "unit radio : NetRadioReceiver(4)  \"Radio receiver\"  { priority_1 = 100  place");

        finding.Code.Should().Be("PL0507");
        finding.Severity.Should().Be(Severity.Error);
        finding.Message.Should().Be(
            "the network quay is led by radio, which runs free: its priority 1 is 100, that of desk.expansion 126; the timekeeper is desk, "
            + "and what passes between the two clocks gives a click every 4 to 10 seconds (ordinary clocks are 2 to 5 ppm apart), about once in 347 ms at worst (50 and 10 ppm, added)");
        (1 / (48000 * 60e-6)).Should().BeApproximately(0.347, 5e-4);
    }

    [Fact]
    public void A_standby_in_the_desk_itself() =>
        Broken("standby rack", "standby desk.expansion").Message.Should().Be("desk.expansion is part of desk: whatever takes one of them takes both");
}
