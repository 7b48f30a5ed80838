using System.Text;

namespace PatchLang.Outputs.Drawings.Writers;

/// <summary>Writes XML by hand, one element per line, and escapes the plan's text.</summary>
internal sealed class Markup
{
    private readonly StringBuilder text = new();
    private readonly Stack<string> open = [];

    /// <summary>Writes an element and leaves it open.</summary>
    public void Open(string name, params ReadOnlySpan<(string Name, string? Value)> attributes)
    {
        Start(name, attributes);
        text.Append(">\n");
        open.Push(name);
    }

    /// <summary>Closes the last element that is open.</summary>
    public void Close() => Indent(-1).Append("</").Append(open.Pop()).Append(">\n");

    /// <summary>Writes an element without content.</summary>
    public void Empty(string name, params ReadOnlySpan<(string Name, string? Value)> attributes)
    {
        Start(name, attributes);
        text.Append("/>\n");
    }

    /// <summary>Writes an element with text in it.</summary>
    public void Text(string name, string content, params ReadOnlySpan<(string Name, string? Value)> attributes)
    {
        Start(name, attributes);
        text.Append('>').Append(Safe(content)).Append("</").Append(name).Append(">\n");
    }

    /// <summary>Writes markup unescaped.</summary>
    public void Raw(string markup) => text.Append(markup);

    /// <inheritdoc/>
    public override string ToString() => text.ToString();

    private void Start(string name, ReadOnlySpan<(string Name, string? Value)> attributes)
    {
        Indent(0).Append('<').Append(name);
        foreach (var (attribute, value) in attributes)
            if (value is not null) text.Append(' ').Append(attribute).Append("=\"").Append(Safe(value)).Append('"');
    }

    private StringBuilder Indent(int change) => text.Append(' ', Math.Max(0, open.Count + change));

    /// <summary>Escapes text for XML: special characters become references, and characters that XML forbids are replaced.</summary>
    public static string Safe(string content)
    {
        if (content.AsSpan().IndexOfAnyExceptInRange('\u003F', '~') < 0) return content;
        var safe = new StringBuilder(content.Length + 16);
        foreach (var rune in content.EnumerateRunes())
            switch (rune.Value)
            {
                case '&': safe.Append("&amp;"); break;
                case '<': safe.Append("&lt;"); break;
                case '>': safe.Append("&gt;"); break;
                case '"': safe.Append("&quot;"); break;
                case '\t' or '\n' or '\r': safe.Append(' '); break;
                case < 0x20 or (>= 0x7F and <= 0x9F) or 0xFFFE or 0xFFFF: safe.Append('\uFFFD'); break;
                default: safe.Append(rune.ToString()); break;
            }
        return safe.ToString();
    }
}
