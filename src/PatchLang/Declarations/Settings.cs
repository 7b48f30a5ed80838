using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Declarations;

/// <summary>One setting inside braces: <c>name</c> or <c>name = value</c>.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Span">Its span, from the statement's start.</param>
/// <param name="Text">The value, if it is a name or a string.</param>
public sealed record Setting(string Name, TextSpan Span, string? Text)
{
    // In a separate object to save memory, since most settings are flags or texts.
    private readonly QuantityRange? range;

    internal Setting(string name, TextSpan span, Quantity low, Quantity high) : this(name, span, null) => range = new QuantityRange(low, high);

    /// <summary>The value, if it is a number or quantity; for a range, its low end.</summary>
    public Quantity? Value => range?.Low;

    /// <summary>The high end of a range; otherwise equal to <see cref="Value"/>.</summary>
    public Quantity? High => range?.High;

    private sealed record QuantityRange(Quantity Low, Quantity High);
}

/// <summary>The settings in one pair of braces, by name.</summary>
public sealed class SettingTable
{
    private readonly ImmutableArray<Setting> settings;

    internal SettingTable(ImmutableArray<Setting> settings) => this.settings = settings;

    /// <summary>No settings.</summary>
    public static SettingTable Empty { get; } = new([]);

    /// <summary>All of them, in the order written.</summary>
    public ImmutableArray<Setting> All => settings;

    /// <summary>A setting by name, or null.</summary>
    public Setting? this[string name]
    {
        get
        {
            foreach (var setting in settings)
                if (setting.Name == name) return setting;
            return null;
        }
    }

    /// <summary>Whether a setting of that name is written.</summary>
    public bool Has(string name) => this[name] is not null;

    /// <summary>
    /// Reads the settings among a node's children: <c>setting</c> in the braces
    /// of units and feeds, <c>attributeValue</c> in those of gear and formats.
    /// </summary>
    internal static SettingTable Of(SyntaxNode braces, NodeKind kind)
    {
        if (!braces.Exists) return Empty;
        var list = new Setting[braces.ChildrenOf(kind).Count + braces.ChildrenOf(NodeKind.Attribute).Count];
        var count = 0;
        foreach (var node in braces.ChildrenOf(kind))
            if (Read(node) is { } setting) list[count++] = setting;
        // Those of a socket have a node more in between.
        foreach (var attribute in braces.ChildrenOf(NodeKind.Attribute))
            if (attribute.Child(kind) is { Exists: true } inner && Read(inner) is { } setting) list[count++] = setting;
        return count == 0 ? Empty : new SettingTable(ExpressionReader.Made(list, count));
    }

    private static Setting? Read(SyntaxNode node)
    {
        if (!node.HasText) return null;
        var nameNode = node.Child(NodeKind.SettingName);
        var name = NamePool.Get(nameNode.Exists ? nameNode.Text : node.Reading.TextOf(node.FirstToken));
        return name.Length > 0 ? Read(name, node) : null;
    }

    private static Setting Read(string name, SyntaxNode node)
    {
        var value = node.Child(NodeKind.Value);
        if (!value.Exists) return new Setting(name, node.Span, null);
        if (value.OwnQuoted() is { } quoted) return new Setting(name, node.Span, quoted);
        if (value.Child(NodeKind.Reference) is { Exists: true } reference) return new Setting(name, node.Span, reference.Name());
        var range = value.Child(NodeKind.Range);
        if (!range.Exists) return new Setting(name, node.Span, null);
        var (measure, factor) = range.Child(NodeKind.Measure) is { HasText: true } unit ? Quantity.UnitOf(unit.Text) : (Measure.None, 1);
        var numbers = new List<double>(2);
        var negative = false;
        for (var token = range.FirstToken; token < range.EndToken; token++)
            switch (range.Reading.KindOf(token))
            {
                case TokenKind.Minus:
                    negative = true;
                    break;
                case TokenKind.Number:
                    var number = range.Reading.Number(token) * factor;
                    numbers.Add(negative ? -number : number);
                    negative = false;
                    break;
            }
        if (numbers.Count == 0) return new Setting(name, node.Span, null);
        return new Setting(name, node.Span, new Quantity(numbers[0], measure), new Quantity(numbers[^1], measure));
    }
}

/// <summary>The form of a setting's value.</summary>
internal enum ValueForm
{
    Flag,
    Text,

    /// <summary>A keyword.</summary>
    Name,

    /// <summary>The name of a unit of the plan.</summary>
    Unit,

    /// <summary>The name of one of the clocks of the same gear.</summary>
    Clock,
    Number,

    /// <summary>A whole number, 1 or more.</summary>
    Count,
    Quantity,

    /// <summary>A quantity above zero.</summary>
    Amount,
}

/// <summary>The settings that are known in some kind of braces, and a check of what is written against them.</summary>
internal sealed class SettingVocabulary(string place, params (string Name, ValueForm Form, Measure Measure)[] known)
{
    /// <summary>The permitted words, for settings that take only a few.</summary>
    public Dictionary<string, string[]> Words { get; init; } = [];

    /// <summary>The known names.</summary>
    public IEnumerable<string> Names => known.Select(k => k.Name);

    /// <summary>The settings whose value names a unit.</summary>
    public ImmutableArray<string> NamingUnits { get; } = [.. known.Where(k => k.Form == ValueForm.Unit).Select(k => k.Name)];

    /// <summary>
    /// The form of a setting's value; null for a setting that is unknown here. Where settings name things, searches for names rely on this.
    /// </summary>
    public ValueForm? FormOf(ReadOnlySpan<char> name)
    {
        foreach (var (its, form, _) in known)
            if (name.SequenceEqual(its)) return form;
        return null;
    }

    /// <summary>The name that is a setting's value, possibly with a prefix; null if the value is anything else.</summary>
    public static ReferenceExpression? NameIn(Setting? setting, Statement statement)
    {
        if (setting is not { Text: { } written } || IsQuoted(setting, statement)) return null;
        var span = TextSpan.FromTo(setting.Span.Start + statement.Text.Span[setting.Span.Start..setting.Span.End].IndexOf('=') + 1, setting.Span.End);
        var text = statement.Text.Span[span.Start..span.End];
        span = TextSpan.FromTo(span.Start + text.Length - text.TrimStart().Length, span.End);
        return written.Split('.') is [var prefix, var name] ? new ReferenceExpression(prefix.Trim(), name.Trim(), span) : new ReferenceExpression(null, written, span);
    }

    /// <summary>Reports settings that are unknown here, or have a wrong value.</summary>
    /// <param name="table">The settings.</param>
    /// <param name="statement">The statement that contains them.</param>
    /// <param name="findings">Receives findings.</param>
    /// <param name="model">The equipment that the settings are for, whose slots are settings too; null if there is none.</param>
    /// <param name="owner">The name of what has the settings, if others may depend on one that is missing.</param>
    public void Check(SettingTable table, Statement statement, DraftBag findings, GearModel? model = null, string? owner = null)
    {
        var isInText = false;
        Setting? before = null;
        foreach (var setting in table.All)
        {
            var isValue = IsValueOf(before, setting, model, statement);
            var flag = before is { Text: null, Value: null } && IndexOf(before.Name) is >= 0 and var told && known[told].Form == ValueForm.Flag ? before : null;
            before = setting;
            if (model?.SlotOf(setting.Name) is not null) continue;
            var at = new Anchor(statement, setting.Span);
            var index = IndexOf(setting.Name);
            if (index < 0)
            {
                if (isInText && setting.Text is null && setting.Value is null) continue; // another word of a string without quotes
                if (!statement.Shape.Errors.IsEmpty) continue; // it may be part of the syntax error
                var nearest = Nearest.To(setting.Name, known.Select(k => k.Name).Concat(model?.Slots.Select(s => s.Name) ?? []));
                if (isValue ?? nearest is null) continue;
                if (nearest is not null && table.Has(nearest)) nearest = null; // it is already written
                // Suggesting one of the language's few setting names is certain enough; a slot is named freely by the gear.
                var isCertain = nearest is not null && IndexOf(nearest) >= 0 && Nearest.HasSameDigits(setting.Name, nearest);
                findings.Add(new Draft(NameFindings.UnknownSettingAt(setting.Name, place, nearest), at)
                {
                    Fixes = nearest is null ? WithoutAnswer(flag, setting, statement) : [new FixDraft($"write `{nearest}`", isCertain, at with { Span = new TextSpan(setting.Span.Start, setting.Name.Length) }, nearest)],
                    Explains = nearest is null || owner is null ? [] : [Foundation.MayBeMeant(nearest, owner)],
                });
                continue;
            }
            isInText = known[index].Form == ValueForm.Text && setting.Text is not null && !IsQuoted(setting, statement);
            if (isInText) findings.Add(Unquoted(setting, table, statement));
            else if (Wanted(known[index], setting, statement) is { } wanted)
                findings.Add(new Draft(NameFindings.WrongValueOf(setting.Name, wanted), at) { Fixes = Meant(setting, known[index].Form, statement) });
        }
    }

    /// <summary>
    /// Whether a word is the value of the setting before it, which lacks its
    /// <c>=</c>, or the unit of that value; null if that setting itself is unknown.
    /// </summary>
    private bool? IsValueOf(Setting? before, Setting word, GearModel? model, Statement statement)
    {
        if (before is null || word is not { Text: null, Value: null } || statement.Text.Span[before.Span.End..word.Span.Start].ContainsAny('\r', '\n')) return false;
        var form = IndexOf(before.Name) is >= 0 and var index ? known[index].Form : (ValueForm?)null;
        // After a number that needs a unit, the word is a misspelt one, which is reported with the number.
        if (before.Value is { Measure: Measure.None }) return form is ValueForm.Quantity or ValueForm.Amount;
        if (before is not { Text: null, Value: null }) return false;
        if (model?.SlotOf(before.Name) is not null) return true;
        return form is { } its ? its != ValueForm.Flag : null;
    }

    /// <summary>A fix that takes out a yes or no behind a setting that has no value; none if the word is something else.</summary>
    private static ImmutableArray<FixDraft> WithoutAnswer(Setting? flag, Setting word, Statement statement)
    {
        if (flag is null || word is not { Text: null, Value: null }) return [];
        if (IsNo(word.Name)) return [new FixDraft($"leave `{flag.Name}` out", false, Anchors.WithBlanksBefore(new Anchor(statement, flag.Span.To(word.Span))), "")];
        return word.Name.ToLowerInvariant() is "on" or "yes" or "true" ? [new FixDraft($"take `{word.Name}` out", false, Anchors.WithBlanksBefore(new Anchor(statement, word.Span)), "")] : [];
    }

    private static bool IsNo(string? word) => word?.ToLowerInvariant() is "off" or "no" or "false" or "none";

    /// <summary>A fix that replaces a misspelt word by one of the permitted ones, or a string by the name in it.</summary>
    private ImmutableArray<FixDraft> Meant(Setting setting, ValueForm form, Statement statement)
    {
        if (form == ValueForm.Flag)
        {
            var its = new Anchor(statement, setting.Span);
            return [IsNo(setting.Text) || setting.Value is { Value: 0 } ? new FixDraft($"leave `{setting.Name}` out", false, Anchors.WithBlanksBefore(its), "") : new FixDraft($"write `{setting.Name}`", false, its, setting.Name)];
        }
        if (form is ValueForm.Unit or ValueForm.Clock && setting.Text is { } quoted && NameCharacters.IsName(quoted) && IsQuoted(setting, statement))
            return [new FixDraft("write it without quotes", false, new Anchor(statement, new TextSpan(setting.Span.End - quoted.Length - 2, quoted.Length + 2)), quoted)];
        if (setting.Text is not { } written || !Words.TryGetValue(setting.Name, out var words) || Nearest.To(written, words) is not { } meant || IsQuoted(setting, statement)) return [];
        var at = new Anchor(statement, new TextSpan(setting.Span.End - written.Length, written.Length));
        return [new FixDraft($"write `{meant}`", Nearest.HasSameDigits(written, meant), at, meant)];
    }

    private static bool IsQuoted(Setting setting, Statement statement) => statement.Text.Span[setting.Span.End - 1] == '"';

    /// <summary>The finding for a string without quotes, with the fix that puts all of its words into them.</summary>
    private Draft Unquoted(Setting setting, SettingTable table, Statement statement)
    {
        var end = setting.Span.End;
        for (var i = table.All.IndexOf(setting) + 1; i < table.All.Length && table.All[i] is { Text: null, Value: null } word && IndexOf(word.Name) < 0; i++) end = word.Span.End;
        var text = statement.Text.Span;
        var start = setting.Span.Start + text[setting.Span.Start..].IndexOf('=') + 1;
        while (char.IsWhiteSpace(text[start])) start++;
        var words = TextSpan.FromTo(start, end);
        return new Draft(NameFindings.WrongValueOf(setting.Name, "takes a text in quotes"), new Anchor(statement, TextSpan.FromTo(setting.Span.Start, end)))
        {
            Fixes = [new FixDraft("put it in quotes", false, new Anchor(statement, words), $"\"{text[words.Start..words.End]}\"")],
        };
    }

    private int IndexOf(string name)
    {
        for (var i = 0; i < known.Length; i++)
            if (known[i].Name == name) return i;
        return -1;
    }

    private string? Wanted((string Name, ValueForm Form, Measure Measure) known, Setting setting, Statement statement) => known.Form switch
    {
        ValueForm.Flag => setting.Text is null && setting.Value is null ? null : "stands alone, without a value",
        ValueForm.Text => setting.Text is not null ? null : "takes a text in quotes",
        ValueForm.Name when Words.TryGetValue(known.Name, out var words) =>
            words.Contains(setting.Text) ? null : $"takes one of {string.Join(", ", words.Select(w => $"`{w}`"))}",
        ValueForm.Name => setting.Text is not null ? null : "takes a name",
        ValueForm.Unit => NameIn(setting, statement) is not null ? null : "takes the name of a unit",
        ValueForm.Clock => NameIn(setting, statement) is not null ? null : "takes the name of a clock",
        ValueForm.Number => setting.Value is { Measure: Measure.None } ? null : "takes a number without unit",
        ValueForm.Count => setting.Value is { Measure: Measure.None, Value: >= 1 } count && count.Value.Equals(Math.Floor(count.Value)) && count == setting.High
            ? null
            : "takes a whole number, 1 or more",
        ValueForm.Amount when setting.Value is { Value: <= 0 } value && value.Measure == known.Measure => $"takes a quantity in {Quantity.SymbolsOf(known.Measure)}, above 0",
        _ => setting.Value is { } value && (value.Measure == known.Measure || (IsLevel(value.Measure) && IsLevel(known.Measure)))
            ? null
            : $"takes a quantity in {(IsLevel(known.Measure) ? "dBu, dBV or dBFS" : Quantity.SymbolsOf(known.Measure))}",
    };

    private static bool IsLevel(Measure measure) => measure is Measure.LevelDbu or Measure.LevelDbv or Measure.LevelDbfs;
}
