using System.Collections.Immutable;
using PatchLang.Declarations;
using PatchLang.Findings;
using PatchLang.Graph;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Checks;

/// <summary>
/// What a plan says in statements that can't be read, nobody knows. They have findings of their own, so what may be missing only
/// because of them is not told besides: names that stand in them, and what is not joined, has no time or leads nowhere beside the things
/// they name. A name that is declared is declared, whatever stands in a line that nobody can make out.
/// </summary>
internal sealed class UnreadStatements
{
    // What is told of others where a signal's way is not what it was to be.
    private static readonly ImmutableArray<FindingKind> OfLostWays =
        [LooseEndFindings.EndsNowhere, NameFindings.ActReachesFurther, ClockFindings.NoTime, ClockFindings.SlipsWhenLost];

    // What is told of others where nothing is known of a signal, its width included.
    private static readonly ImmutableArray<FindingKind> OfUnknownSignals =
    [
        .. OfLostWays, ChannelFindings.UnequalWidths, NameFindings.UnknownElement, FormatFindings.NoWay, FormatFindings.NotPassedThere, FormatFindings.TapWithoutStrip,
        LooseEndFindings.Unused, ExpectationFindings.Broken, ExpectationFindings.NothingFeeds,
    ];

    // What is told of equipment where it is not joined as it was to be, or follows nobody.
    private static readonly ImmutableArray<FindingKind> OfLostJoins =
    [
        .. OfLostWays, FormatFindings.NotJoined, FormatFindings.NoWay, ClockFindings.Conflict, ClockFindings.NoTimekeeper, ClockFindings.NoClock, ClockFindings.OtherLeader,
        ClockFindings.Undecided, ClockFindings.StandbyFails, CablingFindings.LengthUnknown, NetworkFindings.NoQuerier,
    ];

    // What can't be told while anything is unknown.
    private static readonly ImmutableArray<FindingKind> OfFigures = [ExpectationFindings.Undecided];

    // What shows that a statement was not understood, though it could be read.
    private static readonly ImmutableArray<FindingKind> NotUnderstood =
    [
        NameFindings.UnknownName, NameFindings.WrongSort, NameFindings.UnknownElement, NameFindings.WrongValue, NameFindings.UnknownSetting,
        ChannelFindings.BadRange, ChannelFindings.PastEnd, ChannelFindings.FullAtRate,
    ];

    private readonly Plan plan;
    private readonly HashSet<string> names = new(StringComparer.Ordinal);
    private readonly Doubt unreadSignals = new(OfUnknownSignals);
    private readonly Doubt unreadEquipment = new([.. OfUnknownSignals, .. OfLostJoins]);
    private readonly Doubt mistakenSignals = new(OfLostWays);
    private readonly Doubt mistakenEquipment = new(OfLostJoins);
    private readonly HashSet<(int File, int Line)> lines = [];
    private bool hasUse;

    public UnreadStatements(Plan plan)
    {
        this.plan = plan;
        for (var f = 0; f < plan.Files.Trees.Length; f++)
        {
            var tree = plan.Files.Trees[f];
            if (plan.Files.Files[f].IsLibrary || tree.Findings.IsEmpty) continue;
            foreach (var finding in tree.Findings) lines.Add((f, LineOf(tree, finding.Place.Span.Start)));
            for (var i = 0; i < tree.Count; i++)
                if (!tree[i].Shape.IsRead) Take(i > 0 ? tree[i - 1] : null, tree[i], i + 1 < tree.Count ? tree[i + 1] : null);
        }
    }

    /// <summary>What they may be the reason of, in the words of <see cref="Draft.Explains"/>.</summary>
    public IEnumerable<string> Explains => hasUse ? names.Select(Foundation.IsUnread).Append(Foundation.UnreadUse) : names.Select(Foundation.IsUnread);

    /// <summary>Leaves out what may follow from what can't be read, or was not understood.</summary>
    public List<Draft> WithoutFollowers(List<Draft> drafts)
    {
        if (lines.Count > 0) drafts = drafts.FindAll(d => !Follows(d));
        var mistakes = drafts.FindAll(d => NotUnderstood.Contains(d.Message.Kind));
        if (mistakes.Count == 0) return drafts;
        foreach (var draft in mistakes) TakeMistake(draft);
        return drafts.FindAll(d => NotUnderstood.Contains(d.Message.Kind) || !Follows(d));
    }

    /// <summary>Takes a statement that could be read, and was not understood.</summary>
    private void TakeMistake(Draft draft)
    {
        var (kind, statement) = (draft.Message.Kind, draft.At.Statement);
        // What is set wrongly leaves figures unknown, and no more.
        if (kind == NameFindings.WrongValue || kind == NameFindings.UnknownSetting) return;
        var into = statement.Kind switch
        {
            NodeKind.Feed or NodeKind.Bundle or NodeKind.Insert => mistakenSignals,
            NodeKind.Network or NodeKind.Loom or NodeKind.Cable or NodeKind.Timekeeper or NodeKind.Follow => mistakenEquipment,
            NodeKind.Unit when kind == ChannelFindings.BadRange => unreadEquipment, // nobody knows how many there are
            _ => null, // what is made of unknown gear is unknown everywhere
        };
        if (into is null) return;
        AddNames(statement, into.Names);
        into.Names.UnionWith(draft.Fixes.SelectMany(f => f.Edits).Select(e => e.NewText)); // what was meant
    }

    private bool Follows(Draft draft)
    {
        var kind = draft.Message.Kind;
        if (OfFigures.Contains(kind)) return true;
        if (!draft.At.Statement.Shape.IsRead && IsOnLineOfAnother(draft.At)) return true;
        return unreadSignals.Explains(draft) || unreadEquipment.Explains(draft) || mistakenSignals.Explains(draft) || mistakenEquipment.Explains(draft);
    }

    /// <summary>Whether a place is on a line in which something can't be read: it may be a piece of that.</summary>
    private bool IsOnLineOfAnother(Anchor at)
    {
        var (file, index) = plan.PlaceOf(at.Statement);
        var tree = plan.Files.Trees[file];
        return lines.Contains((file, LineOf(tree, tree.StartOf(index) + at.Span.Start)));
    }

    private void Take(Statement? previous, Statement statement, Statement? next)
    {
        AddNames(statement, names);
        hasUse |= statement.Kind == NodeKind.Use || HasPath(statement);
        var kind = statement.Kind;
        if (kind == NodeKind.Statement)
        {
            var problems = statement.ProblemsBetween(previous, next);
            if (problems.IsEmpty || problems[0].IsLooseLine || problems[0].IsRemark) return;
            kind = problems[0].Meant;
            if (problems[0].GoesOn && previous is not null && DoubtOf(kind) is { } both) AddNames(previous, both.Names);
            hasUse |= kind == NodeKind.Use;
        }
        if (DoubtOf(kind) is not { } into) return;
        if (kind is NodeKind.Gear or NodeKind.Card) into.Names.UnionWith(UnitsOf(statement));
        else AddNames(statement, into.Names);
    }

    /// <summary>The names of the units of a kind of gear: what is in its braces has names of its own.</summary>
    private IEnumerable<string> UnitsOf(Statement gear) =>
        plan.Foundation.Units.Where(u => plan.Rig.DevicesOf(u) is [var device, ..] && (device.Model.Gear.Statement == gear || device.Cards.Any(c => c?.Model.Gear.Statement == gear))).Select(u => u.Name);

    /// <summary>What is in doubt where a kind of statement can't be read; null for one that other findings don't hang on.</summary>
    private Doubt? DoubtOf(NodeKind kind) => kind switch
    {
        NodeKind.Feed or NodeKind.Bundle or NodeKind.Insert => unreadSignals,
        NodeKind.Act or NodeKind.Format or NodeKind.Gear or NodeKind.Card or NodeKind.Unit or NodeKind.Network or NodeKind.Loom or NodeKind.Cable
            or NodeKind.Timekeeper or NodeKind.Follow => unreadEquipment,
        _ => null,
    };

    private static void AddNames(Statement statement, HashSet<string> into)
    {
        using var reading = statement.Read();
        for (var token = 0; token < reading.TokenCount; token++)
            if (reading.KindOf(token).CanBeName()) into.Add(NormalForm.Compose(reading.TextOf(token)));
    }

    /// <summary>Whether a path of a file stands in it.</summary>
    private static bool HasPath(Statement statement)
    {
        using var reading = statement.Read();
        for (var token = 0; token < reading.TokenCount; token++)
            if (reading.KindOf(token) is TokenKind.String or TokenKind.OpenString && reading.TextOf(token).TrimEnd("\" ").EndsWith(".rig", StringComparison.Ordinal)) return true;
        return false;
    }

    private static int LineOf(SyntaxTree tree, int offset) => tree.Source.PositionOf(offset).Line;

    /// <summary>What is in doubt: the names of things, and the kinds of findings that may follow from what nobody knows of them.</summary>
    private sealed class Doubt(ImmutableArray<FindingKind> kinds)
    {
        public HashSet<string> Names { get; } = new(StringComparer.Ordinal);

        /// <summary>Whether a finding is of such a kind, and names one of the things.</summary>
        public bool Explains(Draft draft)
        {
            if (Names.Count == 0 || !kinds.Contains(draft.Message.Kind)) return false;
            var known = Names.GetAlternateLookup<ReadOnlySpan<char>>();
            var text = draft.Message.Text.AsSpan();
            for (var at = 0; at < text.Length;)
            {
                var end = NameCharacters.EndOfName(text, at);
                if (end > at && known.Contains(text[at..end])) return true;
                at = Math.Max(end, at + 1);
            }
            return false;
        }
    }
}
