using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>
/// All declarations of a plan except signals: acts, formats, gear, units, networks, looms, cables and clocks, with the
/// scopes of its files. It is reused while only feeds, expectations and the like change.
/// </summary>
internal sealed class Foundation
{
    private static readonly SettingVocabulary ActSettings = new("an act", ("note", ValueForm.Text, Measure.None));

    private readonly Dictionary<PlanFile, Scope> homes = new(ReferenceEqualityComparer.Instance);
    private readonly HashSet<Symbol> duplicates = [];

    private readonly Lazy<bool> mayShareLabels;

    private Foundation(PlanFiles files, ImmutableArray<Statement> statements)
    {
        mayShareLabels = new Lazy<bool>(FindSharedLabels);
        Files = files.Files;
        Statements = statements;
    }

    public ImmutableArray<PlanFile> Files { get; }

    /// <summary>The statements it was built from, in order: it is reused as long as these are the same.</summary>
    public ImmutableArray<Statement> Statements { get; }

    public DraftBag Findings { get; } = new();

    public ImmutableArray<Scope> Scopes { get; private set; } = [];

    public ImmutableArray<ActSymbol> Acts { get; private set; } = [];

    /// <summary>All acts; for a plan without acts, the one unnamed act.</summary>
    public ActSet AllActs { get; private set; } = ActSet.FirstOf(1);

    public string? Title { get; private set; }

    /// <summary>The sample rate of every unit that states none, in Hz.</summary>
    public double Rate { get; private set; } = 48_000;

    public List<FormatSymbol> Formats { get; } = [];

    public List<GearSymbol> Gear { get; } = [];

    public List<UnitSymbol> Units { get; } = [];

    /// <summary>Whether two units may have the same label in the sheets.</summary>
    public bool MayShareLabels => mayShareLabels.Value;

    public List<NetworkSymbol> Networks { get; } = [];

    public List<LoomSymbol> Looms { get; } = [];

    /// <summary>Networks that lost their name to an earlier one, each with that one.</summary>
    public List<(NetworkSymbol First, NetworkSymbol Second)> SecondNetworks { get; } = [];

    public List<CableStatement> Cables { get; } = [];

    /// <summary>Whether some cable statement has a syntax error.</summary>
    public bool HasBrokenCables { get; private set; }

    public List<TimekeeperStatement> Timekeepers { get; } = [];

    public List<FollowStatement> Follows { get; } = [];

    /// <summary>Whether a statement belongs to the foundation. One that is really a word of the path or title before it does not.</summary>
    public static bool Holds(SyntaxTree tree, int index) => tree[index].Kind switch
    {
        NodeKind.Rig or NodeKind.Rate => index == 0 || !ReservedNames.IsContinuation(tree[index - 1], tree[index]),
        NodeKind.Act or NodeKind.Format or NodeKind.Gear or NodeKind.Card or NodeKind.Unit
            or NodeKind.Network or NodeKind.Loom or NodeKind.Cable or NodeKind.Timekeeper or NodeKind.Follow => true,
        _ => false,
    };

    /// <summary>The scope in which a file's own names are looked up.</summary>
    public Scope HomeOf(PlanFile file)
    {
        // Files are read one after another: it is usually the one last asked for.
        var (last, home) = lastHome;
        if (ReferenceEquals(last, file)) return home!;
        home = homes[file];
        lastHome = new HomeOfFile(file, home);
        return home;
    }

    private sealed record HomeOfFile(PlanFile? File, Scope? Home);

    // A reference is written atomically, so that readers on several threads never see a mix of two pairs.
    private HomeOfFile lastHome = new(null, null);

    /// <summary>Whether a symbol lost its name to an earlier one.</summary>
    public bool IsDuplicate(Symbol symbol) => duplicates.Contains(symbol);

    public static Foundation Make(PlanFiles files, ImmutableArray<Statement> statements)
    {
        var foundation = new Foundation(files, statements);
        foundation.MakeScopes(files);
        foundation.Read(files);
        return foundation;
    }

    /// <summary>The names of some acts.</summary>
    public string Names(ActSet acts) => string.Join(", ", Acts.Where(a => acts.Has(a.Number)).Select(a => a.Name));

    /// <summary>The acts named by a <c>during</c>; all of them if there is none, or if none of its names is known.</summary>
    public ActSet ActsOf(DuringExpression? during, PlanFile file, Statement statement, DraftBag bag)
    {
        if (during is null) return AllActs;
        var acts = ActSet.None;
        var unknown = false;
        foreach (var reference in during.Acts)
            if (reference.Prefix is null && HomeOf(file).Acts.Find(reference.Name)?.First is ActSymbol known) acts |= ActSet.Of(known.Number);
            else if (Find<ActSymbol>(reference, file, statement, s => s.Acts, "act", bag) is { } act) acts |= ActSet.Of(act.Number);
            else unknown = true;
        if (unknown && acts.IsEmpty) return AllActs;
        return during.IsExcept ? AllActs - acts : acts;
    }

    /// <summary>The declaration that a reference refers to; null, with a finding, if there is none.</summary>
    /// <param name="reference">The reference.</param>
    /// <param name="file">The file it is in.</param>
    /// <param name="statement">Its statement.</param>
    /// <param name="space">The namespace to search.</param>
    /// <param name="sort">What is expected, as a message calls it.</param>
    /// <param name="bag">Receives the finding.</param>
    /// <param name="fits">Which declarations may be suggested; all if not given.</param>
    public T? Find<T>(
        ReferenceExpression reference, PlanFile file, Statement statement, Func<Scope, NameSpace> space, string sort, DraftBag bag, Func<T, bool>? fits = null)
        where T : Symbol
    {
        var at = new Anchor(statement, reference.Span);
        var scope = HomeOf(file);
        if (reference.Prefix is { } prefix)
        {
            if (scope.Through(prefix) is not { } through)
            {
                SayUnknown(scope, "prefix", prefix, scope.Things.Known, at, bag, n => scope.Things.Find(n)?.First is PrefixSymbol);
                return null;
            }
            scope = through;
        }
        var names = space(scope);
        if (names.Find(reference.Name)?.First is { } found)
        {
            if (found is T symbol) return symbol;
            bag.Add(NameFindings.OtherSort(reference.Written, found.Sort, sort), at, found.Anchor, "declared here");
            return null;
        }
        foreach (var other in (ReadOnlySpan<NameSpace>)[scope.Things, scope.Gear, scope.Formats, scope.Networks, scope.Looms, scope.Acts])
            if (!ReferenceEquals(other, names) && other.Find(reference.Name)?.First is { } elsewhere)
            {
                bag.Add(NameFindings.OtherSort(reference.Written, elsewhere.Sort, sort), at, elsewhere.Anchor, "declared here");
                return null;
            }
        SayUnknown(scope, sort, reference.Name, names.Known, at, bag, fits is null ? null : n => names.Find(n)?.First is T its && fits(its));
        return null;
    }

    /// <summary>Reports settings that name a unit which does not exist.</summary>
    /// <param name="vocabulary">The settings known in this place.</param>
    /// <param name="settings">The settings as written.</param>
    /// <param name="file">The file they are in.</param>
    /// <param name="statement">Their statement.</param>
    /// <param name="bag">Receives the findings.</param>
    public void CheckUnits(SettingVocabulary vocabulary, SettingTable settings, PlanFile file, Statement statement, DraftBag bag)
    {
        foreach (var name in vocabulary.NamingUnits)
            if (SettingVocabulary.NameIn(settings[name], statement) is { } unit) Find<UnitSymbol>(unit, file, statement, s => s.Things, "unit", bag, _ => true);
    }

    /// <summary>What a name can refer to at the start of a signal.</summary>
    public const string UnitFeedOrBundle = "unit, feed or bundle";

    /// <summary>The key (see <see cref="Draft.Explains"/>) for acts that can't be determined.</summary>
    public const string UnknownActs = "an act is unknown";

    /// <summary>The key (see <see cref="Draft.Explains"/>) for a misspelling that is probably meant to be a name.</summary>
    public static string MayBeMeant(string name) => $"{name} may be meant";

    /// <summary>The key (see <see cref="Draft.Explains"/>) for a misspelt setting or slot of something whose nearest spelling is this name.</summary>
    public static string MayBeMeant(string name, string owner) => MayBeMeant($"{owner}.{name}");

    /// <summary>The key (see <see cref="Draft.Explains"/>) for a name in a statement with a syntax error, which may declare it.</summary>
    public static string IsUnread(string name) => $"{name} can't be read";

    /// <summary>The key (see <see cref="Draft.Explains"/>) for a broken statement that may be a <c>use</c>, which could declare any name.</summary>
    public const string UnreadUse = "a use can't be read";

    /// <summary>Reports an unknown name, unless a file that could not be read may declare it.</summary>
    public static void SayUnknown(Scope scope, string sort, string name, KnownNames known, Anchor at, DraftBag bag, Func<string, bool>? fits = null, string? meant = null)
    {
        if (scope.HasHoles) return;
        var draft = UnknownDraft(sort, name, known, at, fits, meant);
        bag.Add(draft with
        {
            // Where feeds and bundles are allowed too, it is probably the same unknown unit: the findings are merged.
            Causes = [$"{(sort == UnitFeedOrBundle ? "unit" : sort)} {name} in {scope.Number}"],
            IsNarrowest = sort == "unit",
            Explains = sort == "act" ? [.. draft.Explains, UnknownActs] : draft.Explains,
            FollowsFrom = [IsUnread(name), UnreadUse],
        });
    }

    /// <summary>
    /// The finding for an unknown name: it suggests the library file that declares the name, or else the nearest known name. The fix is a
    /// guess, since names often differ by little.
    /// </summary>
    private static Draft UnknownDraft(string sort, string name, KnownNames known, Anchor at, Func<string, bool>? fits, string? meant)
    {
        if (ShippedLibrary.FileWith(sort, name) is { } file) return new Draft(NameFindings.NotTakenIn(sort, name, file), at) { HeldBy = file };
        var nearest = meant ?? known.NearestTo(name, fits);
        return new Draft(NameFindings.Unknown(sort, name, nearest), at)
        {
            Fixes = nearest is null ? [] : [new FixDraft($"write `{nearest}`", false, at with { Span = new TextSpan(at.Span.End - name.Length, name.Length) }, nearest)],
            Explains = nearest is null ? [] : [MayBeMeant(nearest)],
        };
    }

    private void MakeScopes(PlanFiles files)
    {
        var scopes = new List<Scope>();
        var byStart = new Dictionary<PlanFile, Scope>();
        ScopeOf(files.Files[0]);
        Scopes = [.. scopes];

        Scope ScopeOf(PlanFile start)
        {
            if (byStart.TryGetValue(start, out var known)) return known;
            var reached = new List<PlanFile> { start };
            for (var i = 0; i < reached.Count; i++)
                foreach (var use in files.Uses[files.IndexOf(reached[i])])
                    if (use.Prefix is null && use.Target is { } target && !reached.Contains(target)) reached.Add(target);
            var scope = new Scope(scopes.Count, [.. reached])
            {
                HasHoles = reached.Exists(f => files.Uses[files.IndexOf(f)].Any(u => u.IsMissing)),
            };
            byStart.Add(start, scope);
            scopes.Add(scope);
            foreach (var file in reached) homes.TryAdd(file, scope);
            foreach (var file in reached)
                foreach (var use in files.Uses[files.IndexOf(file)])
                    if (use is { Prefix: { } prefix, Target: { } target })
                    {
                        scope.HasPrefixes = true;
                        Take(scope, new PrefixSymbol(file, use.Statement, prefix, use.PrefixSpan, ScopeOf(target)) { Acts = new ActSet(ulong.MaxValue) });
                    }
            return scope;
        }
    }

    /// <summary>Reports a name that changes its sort or its elements between acts.</summary>
    public static void SayIfChanged(Symbol first, Symbol other, DraftBag bag)
    {
        if (ReferenceEquals(first, other)) return;
        var (before, after) = (ElementsOf(first), ElementsOf(other));
        if (first.Sort != other.Sort) bag.Add(NameFindings.ChangesSort(other.Name, first.Sort, other.Sort), other.Anchor, first.Anchor, NameFindings.FirstHere);
        else if (before is not null && after is not null && before != after) bag.Add(NameFindings.ChangesElements(other.Name), other.Anchor, first.Anchor, NameFindings.FirstHere);

        static Elements? ElementsOf(Symbol symbol) => symbol switch
        {
            UnitSymbol unit => unit.Elements,
            FeedSymbol { IsUnknown: false } feed => feed.Elements ?? Elements.One,
            _ => null,
        };
    }

    /// <summary>
    /// The key (see <see cref="Draft.Explains"/>) for a name that is declared twice, so that it is unknown which of the two is meant, and in which acts it exists.
    /// </summary>
    public static string ActsOfTwo(string name) => $"two are called {name}";

    /// <summary>Reports a name that is already taken.</summary>
    public void SayTwice(Symbol first, Symbol symbol, DraftBag bag)
    {
        // A statement with a syntax error may have had a `during` that keeps the two apart.
        if (Acts.Length > 1 && !(first.Statement.IsClear && symbol.Statement.IsClear)) return;
        var repeats = bag.RepeatsOf(first);
        if (++repeats.Count > Repeats.MostKept) return;
        var (isFirstAllDay, isThisAllDay) = ((first.Acts & AllActs) == AllActs, (symbol.Acts & AllActs) == AllActs);
        var isPlain = first.Sort != symbol.Sort || (isFirstAllDay && isThisAllDay) || !first.Acts.Meets(symbol.Acts);
        var others = AllActs - symbol.Acts;
        bag.Add(new Draft(
            isPlain ? NameFindings.Duplicate(first.Sort, symbol.Sort, symbol.Name) : NameFindings.DuplicateDuring(symbol.Sort, symbol.Name, Names(first.Acts & symbol.Acts), isFirstAllDay, isThisAllDay),
            symbol.Anchor)
        {
            Fixes = first is NetworkSymbol network && symbol is NetworkSymbol second && network.Taking(second) is { } whole ? [whole]
                : isPlain || !isFirstAllDay || others.IsEmpty || first.File.IsLibrary ? []
                : [new FixDraft($"let the first hold during {Names(others)}", false, Anchors.EndOf(first.Statement), $" during {Names(others)}")],
            Related = [(first.Anchor, NameFindings.FirstHere)],
            Explains = [ActsOfTwo(symbol.Name)],
            Repeats = repeats.Count == Repeats.MostKept ? repeats : null,
            FollowsFrom = NamesActs(first) || NamesActs(symbol) ? [UnknownActs] : [],
        });

        static bool NamesActs(Symbol symbol)
        {
            using var reading = symbol.Statement.ReadAsMeant();
            return reading.Root.Child(NodeKind.During).HasText;
        }
    }

    /// <summary>Adds a symbol to a scope; a second one of the same name is reported once.</summary>
    private void Take(Scope scope, Symbol symbol)
    {
        if (scope.SpaceOf(symbol).Add(symbol) is not { } first)
        {
            SayIfChanged(scope.SpaceOf(symbol).Find(symbol.Name)!.Value.First, symbol, Findings);
            return;
        }
        if (ReferenceEquals(first, symbol)) return;
        if (!duplicates.Add(symbol)) return;
        if (first is NetworkSymbol network && symbol is NetworkSymbol second) SecondNetworks.Add((network, second));
        SayTwice(first, symbol, Findings);
    }

    private void Read(PlanFiles files)
    {
        // Acts first, since all other declarations may name them.
        ForEach(files, NodeKind.Act, (file, statement) => AddAct(file, statement));
        Acts = Acts.Length > ActSet.Limit ? Acts[..ActSet.Limit] : Acts;
        AllActs = ActSet.FirstOf(Math.Max(1, Acts.Length));
        foreach (var act in Acts)
        {
            act.Acts = AllActs;
            Spread(act);
        }
        LinkActs();

        var units = ReadUnits(files);
        Units.EnsureCapacity(units.Length);
        Scopes[0].Things.MakeRoomFor(units.Length); // the root scope sees most units, and usually all
        var nextUnit = 0;
        RigStatement? rig = null;
        RigStatement? rate = null;
        for (var f = 0; f < Files.Length; f++)
        {
            var file = Files[f];
            var tree = files.Trees[f];
            for (var i = 0; i < tree.Count; i++)
            {
                var statement = tree[i];
                switch (statement.Kind)
                {
                    case NodeKind.Rig or NodeKind.Rate when !Holds(tree, i):
                        break;
                    case NodeKind.Rig:
                        rig = ReadRig(f, statement, rig);
                        break;
                    case NodeKind.Rate:
                        rate = ReadRate(f, statement, rate);
                        break;
                    case NodeKind.Format:
                        if (FormatReader.Read(file, statement, Findings) is { } format)
                        {
                            format.Acts = AllActs;
                            Formats.Add(format);
                            Spread(format);
                        }
                        break;
                    case NodeKind.Gear or NodeKind.Card:
                        if (GearSymbol.Read(file, statement) is { } gear)
                        {
                            Gear.Add(gear);
                            Spread(gear);
                        }
                        break;
                    case NodeKind.Unit:
                        if (units[nextUnit++] is { } unit)
                        {
                            unit.Acts = ActsOf(unit.During, file, statement, Findings);
                            Spread(unit);
                            if (IsDuplicate(unit)) break;
                            unit.Number = Units.Count;
                            Units.Add(unit);
                        }
                        break;
                    case NodeKind.Network:
                        if (NetworkSymbol.Read(file, statement) is { } network)
                        {
                            network.Acts = ActsOf(network.During, file, statement, Findings);
                            Spread(network);
                            if (!IsDuplicate(network)) Networks.Add(network);
                        }
                        break;
                    case NodeKind.Loom:
                        if (ReadLoom(file, statement) is { } loom)
                        {
                            loom.Acts = AllActs;
                            Looms.Add(loom);
                            Spread(loom);
                        }
                        break;
                    case NodeKind.Cable:
                        if (CableStatement.Read(file, statement) is { } cable) Cables.Add(cable);
                        else HasBrokenCables = true;
                        break;
                    case NodeKind.Timekeeper:
                        if (TimekeeperStatement.Read(file, statement) is { } keeper) Timekeepers.Add(keeper);
                        break;
                    case NodeKind.Follow:
                        if (FollowStatement.Read(file, statement) is { } follow) Follows.Add(follow);
                        break;
                }
            }
        }
    }

    private bool FindSharedLabels()
    {
        var seen = new HashSet<ulong>(Units.Count);
        return Units.Exists(u => u.MayRepeatLabel(seen));
    }

    /// <summary>The units of all files, in order; null for those without a name.</summary>
    private static UnitSymbol?[] ReadUnits(PlanFiles files)
    {
        var count = 0;
        ForEach(files, NodeKind.Unit, (_, _) => count++);
        var statements = new (PlanFile File, Statement Statement)[count];
        count = 0;
        ForEach(files, NodeKind.Unit, (file, statement) => statements[count++] = (file, statement));
        var units = new UnitSymbol?[count];
        SideBySide.InPieces(count, (first, end) =>
        {
            for (var i = first; i < end; i++) units[i] = UnitSymbol.Read(statements[i].File, statements[i].Statement);
        });
        return units;
    }

    /// <summary>Adds a symbol to every scope that sees its file.</summary>
    private void Spread(Symbol symbol)
    {
        foreach (var scope in Scopes)
            if (scope.Files.Contains(symbol.File)) Take(scope, symbol);
    }

    private static void ForEach(PlanFiles files, NodeKind kind, Action<PlanFile, Statement> use)
    {
        for (var f = 0; f < files.Files.Length; f++)
            for (var i = 0; i < files.Trees[f].Count; i++)
                if (files.Trees[f][i].Kind == kind) use(files.Files[f], files.Trees[f][i]);
    }

    private void AddAct(PlanFile file, Statement statement)
    {
        using var reading = statement.ReadAsMeant();
        var names = new List<SyntaxNode>();
        foreach (var name in reading.Root.ChildrenOf(NodeKind.Name))
            if (name.IsName) names.Add(name);
        if (names.Count == 0) return;
        var act = new ActSymbol(file, statement, names[0].Name(), names[0].Span, reading.Root.OwnQuoted())
        {
            Number = Acts.Length,
            AfterName = names.Count > 1 ? new ReferenceExpression(null, names[1].Name(), names[1].Span) : null,
        };
        ActSettings.Check(SettingTable.Of(reading.Root.Child(NodeKind.Settings), NodeKind.Setting), statement, Findings);
        if (Acts.Length > ActSet.Limit) return; // reported elsewhere
        Acts = Acts.Add(act);
        if (Acts.Length == ActSet.Limit + 1) Findings.Add(ChannelFindings.TooManyActs(ActSet.Limit), act.Anchor);
    }

    private void LinkActs()
    {
        foreach (var act in Acts)
            if (act.AfterName is { } after)
                act.After = Find<ActSymbol>(after, act.File, act.Statement, s => s.Acts, "act", Findings, known => !ComesAfter(known, act));
        foreach (var act in Acts)
        {
            var steps = 0;
            for (var before = act.After; before is not null; before = before.After)
            {
                if (before == act)
                {
                    Findings.Add(NameFindings.ActsInCircle(act.Name), act.Anchor);
                    act.After = null;
                    break;
                }
                if (++steps > ActSet.Limit) break;
            }
        }
    }

    /// <summary>Whether an act is the other one, or follows it directly or through others.</summary>
    private bool ComesAfter(ActSymbol act, ActSymbol other)
    {
        var steps = 0;
        for (var at = act; at is not null && steps++ <= ActSet.Limit; at = at.AfterName is { Prefix: null } before ? HomeOf(at.File).Acts.Find(before.Name)?.First as ActSymbol : null)
            if (at == other) return true;
        return false;
    }

    private sealed record RigStatement(Statement Statement, TextSpan Opener);

    private RigStatement? ReadRig(int file, Statement statement, RigStatement? first)
    {
        using var reading = statement.ReadAsMeant();
        if (!CheckRootOnly(file, reading, "rig", first)) return first;
        Title = reading.Root.OwnQuoted();
        var edition = reading.Root.TokenOf(TokenKind.Number);
        if (edition >= 0 && reading.WholeNumber(edition) != 1)
            Findings.Add(NameFindings.EditionUnknown(reading.TextOf(edition).ToString()), reading.AnchorOf(edition));
        return new RigStatement(statement, reading.SpanOf(0));
    }

    private RigStatement? ReadRate(int file, Statement statement, RigStatement? first)
    {
        using var reading = statement.ReadAsMeant();
        if (!CheckRootOnly(file, reading, "rate", first)) return first;
        var quantity = reading.Root.Child(NodeKind.Quantity);
        if (quantity.AsQuantity() is { Measure: Measure.Frequency, Value: > 0 } rate)
        {
            Rate = rate.Value;
            ClockFigures.CheckRate(Rate, quantity.Anchor(), Findings);
        }
        else if (quantity.HasText && statement.IsClear)
            Findings.Add(NameFindings.WrongValueOf("rate", "takes a sample rate in Hz, kHz or MHz, above 0"), quantity.Anchor());
        return new RigStatement(statement, reading.SpanOf(0));
    }

    private bool CheckRootOnly(int file, StatementReading reading, string word, RigStatement? first)
    {
        if (file != 0)
        {
            Findings.Add(NameFindings.OnlyInRoot(word, Files[0].Path), reading.AnchorOf(0));
            return false;
        }
        if (first is null) return true;
        Findings.Add(NameFindings.OnceOnly(word), reading.AnchorOf(0), new Anchor(first.Statement, first.Opener), "first here");
        return false;
    }

    private LoomSymbol? ReadLoom(PlanFile file, Statement statement)
    {
        using var reading = statement.ReadAsMeant();
        if (reading.Root.Child(NodeKind.Name) is not { IsName: true } name) return null;
        var number = reading.Root.TokenOf(TokenKind.Number);
        var quantity = reading.Root.Child(NodeKind.Quantity);
        var length = quantity.AsQuantity();
        if (length is { } written && written is not { Measure: Measure.Length, Value: > 0 })
            Findings.Add(NameFindings.WrongValueOf("a loom's length", "takes a quantity in m, km or ft, above 0"), quantity.Anchor());
        return new LoomSymbol(
            file, statement, name.Name(), name.Span, reading.Root.OwnQuoted(),
            number < 0 ? 0 : reading.CountOf(number, "a number of ways", Findings), length is { Measure: Measure.Length, Value: > 0 } metres ? metres.Value : null)
        {
            HasWrongLength = length is not null and not { Measure: Measure.Length, Value: > 0 },
        };
    }
}
