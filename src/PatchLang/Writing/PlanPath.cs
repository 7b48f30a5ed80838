using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Writing;

/// <summary>A path to a point or feed: <c>rack.mic[1]</c>, <c>desk.expansion.net[1..8]</c>, <c>lead[L]</c>. Immutable.</summary>
/// <example><c>rack["mic"][1]</c>, <c>desk["expansion"]["net"][1..8]</c>, <c>mixer[2]["chain"]</c>, <c>lead.Named("L")</c>.</example>
public sealed class PlanPath
{
    private readonly string text;
    private readonly bool hasIndex;

    private PlanPath(string text, bool hasIndex)
    {
        this.text = text;
        this.hasIndex = hasIndex;
    }

    /// <summary>The path to a part: a socket of a unit, a port of a card.</summary>
    public PlanPath this[string name] => new($"{text}.{Spelt.Name(name)}", false);

    /// <summary>The path with an index.</summary>
    /// <exception cref="PlanWritingException">It already has an index.</exception>
    public PlanPath this[params ReadOnlySpan<Which> which] =>
        hasIndex ? throw new PlanWritingException($"it is already said which of `{text}`") : new(text + Which.Index(which), true);

    /// <summary>The path that consists of a name.</summary>
    public static PlanPath Of(string name) => new(Spelt.Name(name), false);

    /// <summary>Parses a path as written in a plan, for example from data.</summary>
    /// <exception cref="PlanWritingException">The text is not a path.</exception>
    public static PlanPath Parse(string written)
    {
        ArgumentNullException.ThrowIfNull(written);
        var path = written.Trim();
        var tree = SyntaxTree.Parse(new SourceText("plan.rig", $"follow {path} from internal"));
        if (tree.Count == 1 && tree.Findings.IsEmpty)
        {
            using var reading = tree[0].Read();
            var node = reading.Root.Child(NodeKind.Path);
            // If the path does not cover the whole text, it is not a single path.
            if (node.HasText && node.Text.SequenceEqual(path) && !path.AsSpan().ContainsAny('\r', '\n') && !path.Contains('/', StringComparison.Ordinal)) return new PlanPath(path, path.EndsWith(']'));
        }
        throw new PlanWritingException($"`{Spelt.OneLine(written)}` is no path, such as `rack.mic[1]`");
    }

    /// <summary>The path with an index of names, such as the sides of a feed.</summary>
    public PlanPath Named(params ReadOnlySpan<string> names) => this[Which.AllNamed(names)];

    /// <summary>Picked up at a point on its way: <c>lead at rack.net</c>.</summary>
    public PlanOrigin At(PlanPath place) => ((PlanOrigin)this).At(place);

    /// <summary>Tapped before something in its strip: <c>lead before fader</c>.</summary>
    public PlanOrigin Before(string what) => ((PlanOrigin)this).Before(what);

    /// <summary>Tapped after something in its strip: <c>lead after fader</c>.</summary>
    public PlanOrigin After(string what) => ((PlanOrigin)this).After(what);

    /// <summary>In a sum, without some of its elements: <c>choir except own</c>.</summary>
    public PlanOrigin Except(PlanOrigin left) => ((PlanOrigin)this).Except(left);

    /// <summary>In a sum, sent to these sides: <c>film[C] to [L, R]</c>.</summary>
    public PlanOrigin Onto(params ReadOnlySpan<string> sides) => ((PlanOrigin)this).Onto(sides);

    /// <summary>In a sum, with a gain: <c>lead -6 dB</c>.</summary>
    public PlanOrigin Gain(Amount gain) => ((PlanOrigin)this).Gain(gain);

    /// <summary>The path as written in a plan.</summary>
    public override string ToString() => text;
}
