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
        LooseEndFindings.Unused, ExpectationFindings.NothingFeeds,
    ];

    // What is told of equipment that a cable no longer joins.
    private static readonly ImmutableArray<FindingKind> OfLostCables =
        [LooseEndFindings.EndsNowhere, NameFindings.ActReachesFurther, FormatFindings.NotJoined, FormatFindings.NoWay, CablingFindings.LengthUnknown];

    // What is told of clocks that follow nobody, or whose time does not arrive.
    private static readonly ImmutableArray<FindingKind> OfLostTime =
    [
        ClockFindings.Conflict, ClockFindings.NoTimekeeper, ClockFindings.NoClock, ClockFindings.NoTime, ClockFindings.OtherLeader, ClockFindings.Undecided,
        ClockFindings.StandbyFails, ClockFindings.SlipsWhenLost,
    ];

    private static readonly ImmutableArray<FindingKind> OfLostJoins = [.. OfLostCables, .. OfLostTime, NetworkFindings.NoQuerier];

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
    private readonly Doubt unreadSignals = new([.. OfUnknownSignals, ExpectationFindings.Broken]);
    private readonly Doubt unreadEquipment = new([.. OfUnknownSignals, ExpectationFindings.Broken, .. OfLostJoins]);
    private readonly Doubt unreadCables = new([.. OfLostCables, ExpectationFindings.Broken]);
    private readonly Doubt unreadTime = new(OfLostTime);
    private readonly Doubt mistakenSignals = new(OfLostWays);
    private readonly Doubt mistakenEquipment = new(OfLostJoins);
    private readonly Doubt mistakenCables = new(OfLostCables);
    private readonly Doubt mistakenTime = new(OfLostTime);
    private readonly HashSet<(int File, int Line)> lines = [];
    private bool hasUse;
    private bool isAnyUnknown;

    public UnreadStatements(Plan plan)
    {
        this.plan = plan;
        for (var f = 0; f < plan.Files.Trees.Length; f++)
        {
            var tree = plan.Files.Trees[f];
            if (plan.Files.Files[f].IsLibrary || tree.Findings.IsEmpty) continue;
            foreach (var finding in tree.Findings) lines.Add((f, LineOf(tree, finding.Place.Span.Start)));
            for (var i = 0; i < tree.Count; i++)
                if (!tree[i].Shape.IsRead) Take(plan.Files.Files[f], i > 0 ? tree[i - 1] : null, tree[i], i + 1 < tree.Count ? tree[i + 1] : null);
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
        isAnyUnknown = true;
        // What is set wrongly leaves figures unknown, and no more.
        if (kind == NameFindings.WrongValue || kind == NameFindings.UnknownSetting) return;
        var file = plan.Files.Files[plan.PlaceOf(statement).File];
        var into = statement.Kind switch
        {
            NodeKind.Feed or NodeKind.Bundle or NodeKind.Insert => mistakenSignals,
            NodeKind.Network or NodeKind.Loom => mistakenEquipment,
            NodeKind.Cable => BringsNoTime(statement, file) ? mistakenCables : mistakenEquipment,
            NodeKind.Timekeeper or NodeKind.Follow => mistakenTime,
            NodeKind.Unit when kind == ChannelFindings.BadRange => unreadEquipment, // nobody knows how many there are
            _ => null, // what is made of unknown gear is unknown everywhere
        };
        if (into is null) return;
        into.Take(statement, file, IsThing);
        into.Names.UnionWith(draft.Fixes.SelectMany(f => f.Edits).Select(e => e.NewText)); // what was meant
    }

    private bool Follows(Draft draft)
    {
        var kind = draft.Message.Kind;
        if (isAnyUnknown && OfFigures.Contains(kind)) return true;
        if (!draft.At.Statement.Shape.IsRead && IsOnLineOfAnother(draft.At)) return true;
        return unreadSignals.Explains(draft) || unreadEquipment.Explains(draft) || unreadCables.Explains(draft) || unreadTime.Explains(draft)
            || mistakenSignals.Explains(draft) || mistakenEquipment.Explains(draft) || mistakenCables.Explains(draft) || mistakenTime.Explains(draft);
    }

    /// <summary>Whether a place is on a line in which something can't be read: it may be a piece of that.</summary>
    private bool IsOnLineOfAnother(Anchor at)
    {
        var (file, index) = plan.PlaceOf(at.Statement);
        var tree = plan.Files.Trees[file];
        return lines.Contains((file, LineOf(tree, tree.StartOf(index) + at.Span.Start)));
    }

    private void Take(PlanFile file, Statement? previous, Statement statement, Statement? next)
    {
        var kind = statement.Kind;
        hasUse |= kind == NodeKind.Use || IsPath(statement);
        if (kind == NodeKind.Statement)
        {
            var problems = statement.ProblemsBetween(previous, next);
            if (problems.IsEmpty || problems[0].IsRemark) return;
            AddDeclared(statement, names);
            if (problems[0].IsLooseLine) return;
            kind = problems[0].Meant;
            foreach (var mend in problems[0].Mends)
                foreach (var change in mend.Changes) AddNamesIn(change.NewText, names);
            if (problems[0].GoesOn && previous is not null && DoubtOf(kind, statement, file) is { } both) both.Take(previous, file, IsThing);
            hasUse |= kind == NodeKind.Use;
        }
        else
        {
            AddDeclared(statement, names);
        }
        isAnyUnknown = true;
        if (DoubtOf(kind, statement, file) is not { } into) return;
        if (kind is NodeKind.Gear or NodeKind.Card) into.Names.UnionWith(UnitsOf(statement));
        else into.Take(statement, file, IsThing);
    }

    /// <summary>The names of the units of a kind of gear: what is in its braces has names of its own.</summary>
    private IEnumerable<string> UnitsOf(Statement gear) =>
        plan.Foundation.Units.Where(u => plan.Rig.DevicesOf(u) is [var device, ..] && (device.Model.Gear.Statement == gear || device.Cards.Any(c => c?.Model.Gear.Statement == gear))).Select(u => u.Name);

    /// <summary>What is in doubt where a statement can't be read; null for one that other findings don't hang on.</summary>
    private Doubt? DoubtOf(NodeKind kind, Statement statement, PlanFile file) => kind switch
    {
        NodeKind.Feed or NodeKind.Bundle or NodeKind.Insert => unreadSignals,
        NodeKind.Act or NodeKind.Format or NodeKind.Gear or NodeKind.Card or NodeKind.Unit or NodeKind.Network or NodeKind.Loom => unreadEquipment,
        NodeKind.Cable => BringsNoTime(statement, file) ? unreadCables : unreadEquipment,
        NodeKind.Timekeeper or NodeKind.Follow => unreadTime,
        _ => null,
    };

    /// <summary>Whether one of a cable's ends is known, and takes or gives no time.</summary>
    private bool BringsNoTime(Statement cable, PlanFile file)
    {
        using var reading = cable.Read();
        for (var token = 0; token + 2 < reading.TokenCount; token++)
        {
            if (!reading.KindOf(token).CanBeName() || reading.KindOf(token + 1) != TokenKind.Dot) continue;
            if (plan.Foundation.HomeOf(file).UnitOf(NormalForm.Compose(reading.TextOf(token))) is { } unit && plan.Rig.DevicesOf(unit) is [var device, ..]
                && device.Model.SocketOf(reading.TextOf(token + 2)) is { Format.IsDigital: false }) return true;
        }
        return false;
    }

    /// <summary>Adds what a statement may declare: the first name behind its opening word, which may be misspelt or gone, and behind a place where it can't go on, which may begin another.</summary>
    private static void AddDeclared(Statement statement, HashSet<string> into)
    {
        using var reading = statement.Read();
        Add(0);
        Add(1);
        foreach (var error in statement.Shape.Errors)
        {
            Add(error.Token);
            Add(error.Token + 1);
        }

        void Add(int token)
        {
            if (token < reading.TokenCount && reading.KindOf(token).CanBeName()) into.Add(NormalForm.Compose(reading.TextOf(token)));
        }
    }

    private bool IsThing(string name, PlanFile file) =>
        plan.Signals.Paths.Candidates(name, file) is not null || plan.Foundation.HomeOf(file) is var scope && (scope.Networks.Find(name) is not null || scope.Looms.Find(name) is not null);

    private static void AddNamesIn(ReadOnlySpan<char> text, HashSet<string> into, Func<string, bool>? fits = null)
    {
        for (var at = 0; at < text.Length;)
        {
            var end = NameCharacters.EndOfName(text, at);
            if (end > at && NormalForm.Compose(text[at..end]) is var name && (fits is null || fits(name))) into.Add(name);
            at = Math.Max(end, at + 1);
        }
    }

    /// <summary>Whether it begins with the path of a file: a <c>use</c> that lost its word.</summary>
    private static bool IsPath(Statement statement)
    {
        using var reading = statement.Read();
        return reading.TokenCount > 0 && reading.KindOf(0) is TokenKind.String or TokenKind.OpenString && reading.TextOf(0).TrimEnd("\" ").EndsWith(".rig", StringComparison.Ordinal);
    }

    private static int LineOf(SyntaxTree tree, int offset) => tree.Source.PositionOf(offset).Line;

    /// <summary>What is in doubt: the names of things, and the kinds of findings that may follow from what nobody knows of them.</summary>
    private sealed class Doubt(ImmutableArray<FindingKind> kinds)
    {
        // What these say is of what stands in their own statement.
        private static readonly ImmutableArray<FindingKind> OfStatements = [NameFindings.ActReachesFurther, ChannelFindings.UnequalWidths];

        // The names of what belongs to things of unknown names.
        private readonly HashSet<string> parts = new(StringComparer.Ordinal);

        public HashSet<string> Names { get; } = new(StringComparer.Ordinal);

        /// <summary>Takes what a statement declares, and the things it speaks of: not what belongs to those, nor other words, which may be anything.</summary>
        public void Take(Statement statement, PlanFile file, Func<string, PlanFile, bool> isThing)
        {
            using var reading = statement.Read();
            for (var token = 0; token < reading.TokenCount; token++)
            {
                var kind = reading.KindOf(token);
                // A text that is left open may have the rest of the statement in it.
                if (kind == TokenKind.OpenString) AddNamesIn(reading.TextOf(token), Names, n => isThing(n, file));
                if (!kind.CanBeName()) continue;
                var name = NormalForm.Compose(reading.TextOf(token));
                var isPart = token > 1 && reading.KindOf(token - 1) == TokenKind.Dot;
                if (!isPart && (token == 1 || isThing(name, file))) Names.Add(name);
                else if (isPart && !isThing(NormalForm.Compose(reading.TextOf(token - 2)), file)) parts.Add(name);
            }
        }

        /// <summary>Whether a finding is of such a kind, and names one of the things.</summary>
        public bool Explains(Draft draft) =>
            Names.Count > 0 && kinds.Contains(draft.Message.Kind) && (draft.IsOfLack || draft.Message.Kind != ExpectationFindings.Broken)
            && (IsIn(draft.Message.Text) || (OfStatements.Contains(draft.Message.Kind) && IsIn(draft.At.Statement.Text.Span)));

        private bool IsIn(ReadOnlySpan<char> text)
        {
            var known = Names.GetAlternateLookup<ReadOnlySpan<char>>();
            var knownParts = parts.GetAlternateLookup<ReadOnlySpan<char>>();
            for (var at = 0; at < text.Length;)
            {
                var end = NameCharacters.EndOfName(text, at);
                // What belongs to a thing is called alike in many.
                if (end > at && (at > 0 && text[at - 1] == '.' ? knownParts : known).Contains(text[at..end])) return true;
                at = Math.Max(end, at + 1);
            }
            return false;
        }
    }
}
