using System.Globalization;
using System.Runtime.CompilerServices;
using System.Text;
using PatchLang.Text;

namespace PatchLang.Scripting.Rules;

/// <summary>
/// The sentence of a finding: a string, or an interpolated string (<c>$"{feed} is on strip {strip.Number}"</c>). Values are formatted as
/// in the compiler's own findings: numbers with a decimal point and no needless digits, times in milliseconds, objects by name.
/// </summary>
[InterpolatedStringHandler]
public readonly struct Message
{
    private readonly StringBuilder text;

    /// <summary>Begins a sentence; called by the C# compiler.</summary>
    public Message(int literalLength, int formattedCount) => text = new StringBuilder(literalLength + 16 * formattedCount);

    private Message(string text) => this.text = new StringBuilder(text);

    /// <summary>A sentence without values.</summary>
    public static implicit operator Message(string text) => new(text);

    /// <summary>Adds text.</summary>
    public void AppendLiteral(string value) => text.Append(value);

    /// <summary>Adds a value.</summary>
    public void AppendFormatted<T>(T value) => text.Append(value switch
    {
        null => "unknown",
        double number => Quantity.Number(number),
        float number => Quantity.Number(number),
        decimal number => Quantity.Number((double)number),
        TimeSpan time => Quantity.Milliseconds(time.TotalSeconds),
        string word => word,
        System.Collections.IEnumerable and not Model.During => string.Join(", ", ((System.Collections.IEnumerable)value).Cast<object>()),
        IFormattable other => other.ToString(null, CultureInfo.InvariantCulture),
        _ => value.ToString(),
    });

    /// <summary>Adds a value with a .NET format string.</summary>
    public void AppendFormatted<T>(T value, string? format) => text.Append(value is IFormattable other ? other.ToString(format, CultureInfo.InvariantCulture) : value?.ToString());

    /// <summary>The sentence, on one line.</summary>
    public override string ToString() => text is null ? "" : text.ToString().ReplaceLineEndings(" ").Trim();
}
