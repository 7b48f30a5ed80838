using System.Text;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>
/// A statement being written. It is complete and valid at all times: each call that adds to it parses the result, and a call that
/// would make it invalid throws <see cref="PlanWritingException"/> and changes nothing.
/// </summary>
public abstract class PlanStatement
{
    private readonly NodeKind kind;
    private readonly string[] parts;
    private readonly int bracesAt;
    private readonly bool isBlock;
    private readonly List<string> lines = [];
    private readonly List<string> documentation = [];
    private readonly List<string> allowed = [];
    private string? remark;

    /// <param name="kind">The kind of statement.</param>
    /// <param name="opening">Its beginning, which is always there.</param>
    /// <param name="parts">The number of parts that may follow, in the grammar's order; <see cref="Put"/> fills them.</param>
    /// <param name="bracesAt">The number of the part that is its braces; −1 if it has none.</param>
    /// <param name="isBlock">Whether it always has braces, with each item on its own line.</param>
    private protected PlanStatement(NodeKind kind, string opening, int parts, int bracesAt = -1, bool isBlock = false)
    {
        this.kind = kind;
        this.bracesAt = bracesAt;
        this.isBlock = isBlock;
        this.parts = new string[parts + 1];
        Array.Fill(this.parts, "");
        this.parts[0] = opening;
    }

    internal NodeKind Kind => kind;

    internal bool IsBlock => isBlock;

    /// <summary>The statement as written in a plan, on its own.</summary>
    public override string ToString() => Composed(parts, lines);

    /// <summary>Fills one of the parts, counted from 1.</summary>
    private protected void Put(int part, string text)
    {
        var next = (string[])parts.Clone();
        next[part] = text;
        Hold(Composed(next, lines));
        next.CopyTo(parts, 0);
    }

    /// <summary>Adds an item to the braces.</summary>
    private protected void AddLine(string line)
    {
        Hold(Composed(parts, [.. lines, line]));
        lines.Add(line);
    }

    /// <summary>Checks that the new statement can be parsed.</summary>
    private protected void Hold() => Hold(ToString());

    private protected void AddDocumentation(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        documentation.AddRange(PlanWriter.LinesOf(text));
    }

    private protected void AddAllowed(string code, string reason)
    {
        var allow = new AllowLine(code, reason);
        allowed.Add(allow.ToString());
    }

    private protected void SetRemark(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        remark = text.AsSpan().ContainsAny('\r', '\n') ? throw new PlanWritingException($"a remark is one line of text: {Spelt.OneLine(text)}") : text;
    }

    internal void WriteTo(StringBuilder text)
    {
        foreach (var line in documentation) text.Append("/// ").Append(line.TrimEnd()).Append('\n');
        foreach (var line in allowed) text.Append(line).Append('\n');
        text.Append(ToString());
        if (remark is not null) text.Append("  // ").Append(remark.TrimEnd());
        text.Append('\n');
    }

    private string Composed(string[] pieces, List<string> inBraces)
    {
        var text = new StringBuilder();
        for (var i = 0; i < pieces.Length; i++)
        {
            var piece = i == bracesAt ? Braces(inBraces) : pieces[i];
            if (piece.Length == 0) continue;
            if (text.Length > 0) text.Append(' ');
            text.Append(piece);
        }
        return text.ToString();
    }

    private string Braces(List<string> inBraces)
    {
        if (isBlock) return inBraces.Count == 0 ? "{ }" : $"{{\n{string.Join('\n', inBraces)}\n}}";
        return inBraces.Count == 0 ? "" : $"{{ {string.Join("  ", inBraces)} }}";
    }

    private void Hold(string text)
    {
        var tree = SyntaxTree.Parse(new SourceText("plan.rig", text));
        if (tree.Findings is [var finding, ..]) throw new PlanWritingException($"{finding.Message}: {Spelt.OneLine(text)}");
        if (tree.Count != 1 || tree[0].Kind != kind) throw new PlanWritingException($"this is no single statement: {Spelt.OneLine(text)}");
        if (!tree[0].Shape.IsRead) throw new PlanWritingException($"this can't be read: {Spelt.OneLine(text)}");
    }

    private sealed class AllowLine : PlanStatement
    {
        public AllowLine(string code, string reason)
            : base(NodeKind.Allow, $"allow {code} {Spelt.Quoted(reason)}", 0) => Hold();
    }
}

/// <summary>A statement with optional documentation, exceptions and comment.</summary>
/// <typeparam name="TSelf">The type of the statement itself, for method chaining.</typeparam>
public abstract class PlanStatement<TSelf> : PlanStatement
    where TSelf : PlanStatement<TSelf>
{
    private protected PlanStatement(NodeKind kind, string opening, int parts, int bracesAt = -1, bool isBlock = false)
        : base(kind, opening, parts, bracesAt, isBlock)
    {
    }

    /// <summary>Adds documentation (<c>///</c>), which is shown where the name is used, and in the sheets.</summary>
    public TSelf Documented(string text)
    {
        AddDocumentation(text);
        return Self;
    }

    /// <summary>Adds an <c>allow</c>: a finding about this statement is intended.</summary>
    /// <param name="code">The finding's code: <c>PL0907</c>.</param>
    /// <param name="reason">The reason.</param>
    public TSelf Allowing(string code, string reason)
    {
        AddAllowed(code, reason);
        return Self;
    }

    /// <summary>Adds a comment (<c>//</c>) after the statement.</summary>
    public TSelf Remarked(string text)
    {
        SetRemark(text);
        return Self;
    }

    private protected TSelf Self => (TSelf)this;

    private protected TSelf With(int part, string text)
    {
        Put(part, text);
        return Self;
    }

    private protected TSelf Having(string line)
    {
        AddLine(line);
        return Self;
    }
}

/// <summary>A statement that is complete from the start: <c>rig</c>, <c>rate</c>, <c>use</c>, <c>loom</c>.</summary>
public sealed class PlainStatement : PlanStatement<PlainStatement>
{
    internal PlainStatement(NodeKind kind, string text)
        : base(kind, text, 0) => Hold();
}

/// <summary>A statement that can be limited to some acts.</summary>
/// <typeparam name="TSelf">The statement itself.</typeparam>
public abstract class ActStatement<TSelf> : PlanStatement<TSelf>
    where TSelf : ActStatement<TSelf>
{
    private readonly int during;

    // The `during` is always the last part.
    private protected ActStatement(NodeKind kind, string opening, int parts, int bracesAt = -1, bool isBlock = false)
        : base(kind, opening, parts + 1, bracesAt, isBlock) => during = parts + 1;

    /// <summary>Limits it to these acts.</summary>
    public TSelf During(params ReadOnlySpan<PlanReference> acts) => With(during, $"during {Acts(acts)}");

    /// <summary>Limits it to all acts except these.</summary>
    public TSelf DuringAnyExcept(params ReadOnlySpan<PlanReference> acts) => With(during, $"during any except {Acts(acts)}");

    private static string Acts(ReadOnlySpan<PlanReference> acts)
    {
        if (acts.IsEmpty) throw new PlanWritingException("`during` needs an act");
        return string.Join(", ", acts.ToArray().Select(a => a.AsName()));
    }
}

/// <summary>
/// A statement that is complete from the start but can be limited to some acts: <c>timekeeper</c>, <c>follow</c>, <c>reserve</c>, <c>expect</c>.
/// </summary>
public sealed class PlainActStatement : ActStatement<PlainActStatement>
{
    internal PlainActStatement(NodeKind kind, string text)
        : base(kind, text, 0) => Hold();
}
