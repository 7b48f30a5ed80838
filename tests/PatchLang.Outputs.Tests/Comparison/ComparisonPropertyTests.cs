using CsCheck;
using FluentAssertions;
using PatchLang.Findings;
using PatchLang.Formatting;
using PatchLang.Outputs.Comparison;
using PatchLang.Syntax;
using PatchLang.Text;
using Xunit;

namespace PatchLang.Outputs.Tests.Comparison;

/// <summary>What holds between any two plans.</summary>
public sealed class ComparisonPropertyTests
{
    /// <summary>Changes that can be made to the rig in any selection.</summary>
    private static readonly (string Old, string New)[] Exchanges =
    [
        ("rack.mic[9] -> desk.expansion.net[5]", "rack.mic[10] -> desk.expansion.net[5]"),
        ("rack.mic[1] -> desk.expansion.net[1]", "rack.mic[2] -> desk.expansion.net[1]"),
        ("{ phantom }", "{ mic = \"clip\"  delay = 12 ms }"),
        ("40 m \"P\"", "60 m \"PA\""),
        ("coax 5 m \"M1\"", "coax 5 m"),
        ("cable desk.madi -> recorder.madi : coax 5 m", "// none //"),
        ("NetCard(64)", "NetCard(32)"),
        ("\"stage left\"", "\"stage right\""),
        ("{ standby rack }", ""),
        ("follow recorder from madi", ""),
        ("latency 1 ms", "latency 2 ms"),
        ("rate 48 kHz", "rate 44.1 kHz"),
        ("sum(band after fader)", "sum(fiddle after fader -6 dB, lead before fader)"),
        ("\"Fiddle\"", "\"Violin\""),
        ("\"spare pair\"", "\"broken\""),
        ("expect house hears lead", "feed horn \"Horn\" : rack.mic[20] -> desk.expansion.net[20] -> desk.ch[20]"),
        ("rack.mic[11..14] -> desk.expansion.net[11..14]", "rack.mic[11..14] -> desk.expansion.net[12..15]"),
        ("rack.mic[5] -> desk.expansion.net[5] -> desk.ch[5]", "rack.mic[5] -> desk.nowhere[5] -> desk.ch[5]"),
        ("-> recorder.track[1..6]", "-> recorder.track[11..16]"),
        ("act bells \"Harbour Bells\" after tide", "act bells \"Bells\""),
    ];

    private static readonly Gen<string> Rigs = Gen.Bool.Array[Exchanges.Length].Select(chosen =>
    {
        var text = Quay.Rig;
        for (var i = 0; i < chosen.Length; i++)
            if (chosen[i]) text = text.Replace(Exchanges[i].Old, Exchanges[i].New, StringComparison.Ordinal);
        return text;
    });

    [Fact]
    public void Every_exchange_by_itself_changes_something() =>
        Exchanges.Should().AllSatisfy(e => Quay.Between(Quay.Rig, Quay.With(e)).AreNone.Should().BeFalse(e.New));

    [Fact]
    public void A_plan_does_not_differ_from_itself() =>
        Rigs.Sample(text => Quay.Between(text, text).Changes.Should().BeEmpty(), iter: 60);

    [Fact]
    public void The_order_of_statements_does_not_count() =>
        Gen.Select(Rigs, Gen.Int).Sample((text, seed) => Quay.Between(text, Shuffled(text, seed)).Changes.Should().BeEmpty(), iter: 60);

    [Fact]
    public void What_the_text_looks_like_does_not_count() =>
        Rigs.Sample(text =>
        {
            var packed = string.Join('\n', text.Split('\n').Select(l => l.Trim().Replace("  ", " ", StringComparison.Ordinal).Replace(" : ", ":", StringComparison.Ordinal) + "   // as it was"));
            Quay.Between(text, Tidy.Format(SyntaxTree.Parse(new SourceText("quay.rig", text)))).Changes.Should().BeEmpty();
            Quay.Between(text, packed).Changes.Should().BeEmpty();
        }, iter: 60);

    [Fact]
    public void How_a_plan_is_split_into_files_does_not_count() =>
        Gen.Select(Rigs, Gen.Int).Sample((text, seed) =>
        {
            // Title and rate stay where they hold: in the root.
            var pieces = Statements(text);
            var random = new Random(seed);
            var moved = pieces.Where(p => !p.StartsWith("rig", StringComparison.Ordinal) && !p.StartsWith("rate", StringComparison.Ordinal) && random.Next(2) == 0).ToList();
            var root = string.Concat(pieces.Except(moved)) + "\nuse \"other.rig\"\n";

            var changes = PlanChanges.Between(Quay.Compile(text), Quay.Compile(root, new Dictionary<string, string> { ["other.rig"] = string.Concat(moved) }));

            changes.Changes.Should().BeEmpty();
        }, iter: 60);

    [Fact]
    public void The_way_back_is_the_way_there_in_a_mirror() =>
        Gen.Select(Rigs, Rigs).Sample((one, other) =>
        {
            var there = Quay.Between(one, other).Changes.Select(c => Said(c.Kind, c.Subject, c.Aspect, c.Was, c.Now, c.Acts, c.PhantomBefore, c.PhantomAfter));
            var back = Quay.Between(other, one).Changes.Select(c => Said(c.Kind, c.Subject, c.Aspect, c.Now, c.Was, c.Acts, c.PhantomAfter, c.PhantomBefore));
            there.Order().Should().Equal(back.Order());

            static string Said(ChangeKind kind, string subject, string aspect, string? was, string? now, IEnumerable<string> acts, IEnumerable<string> before, IEnumerable<string> after) =>
                $"{kind} {subject} {aspect}: {was} -> {now} in {string.Join(' ', acts.Order())}, {string.Join(' ', before)} -> {string.Join(' ', after)}";
        }, iter: 100);

    [Fact]
    public void Every_change_names_a_place_that_exists() =>
        Gen.Select(Rigs, Rigs).Sample((one, other) =>
        {
            var changes = Quay.Between(one, other);
            foreach (var change in changes.Changes)
            {
                (change.OldPlace ?? change.NewPlace).Should().NotBeNull($"{change.Kind} {change.Subject} stands somewhere");
                if (change.IsAdded) change.NewPlace.Should().NotBeNull($"{change.Kind} {change.Subject} is new");
                if (change.IsRemoved) change.OldPlace.Should().NotBeNull($"{change.Kind} {change.Subject} is gone");
                Exists(changes.Old, change.OldPlace);
                Exists(changes.New, change.NewPlace);
            }

            static void Exists(Compilation plan, Place? place)
            {
                if (place is null) return;
                plan.Trees.Should().Contain(t => ReferenceEquals(t.Source, place.Source));
                place.Span.Start.Should().BeInRange(0, place.Source.Length);
                place.Span.End.Should().BeLessThanOrEqualTo(place.Source.Length);
            }
        }, iter: 100);

    [Fact]
    public void The_same_two_plans_give_the_same_report() =>
        Gen.Select(Rigs, Rigs).Sample((one, other) => Quay.Said(Quay.Between(one, other)).Should().Be(Quay.Said(Quay.Between(one, other))), iter: 30);

    private static string Shuffled(string text, int seed)
    {
        var pieces = Statements(text).ToArray();
        new Random(seed).Shuffle(pieces);
        return string.Concat(pieces);
    }

    private static List<string> Statements(string text)
    {
        var tree = SyntaxTree.Parse(new SourceText("quay.rig", text));
        return [.. Enumerable.Range(0, tree.Count).Select(i => tree[i].Text.ToString().TrimEnd() + "\n")];
    }
}
