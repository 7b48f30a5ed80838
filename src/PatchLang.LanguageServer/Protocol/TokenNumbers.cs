using System.Text.Json.Serialization;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer.Protocol;

/// <summary>
/// The numbers of semantic tokens as they travel: a JSON array of whole numbers, in UTF-8, without white space. A large file has hundreds
/// of thousands, so they are written once, kept so for the next comparison, and sent as they are.
/// </summary>
/// <param name="Json">The array, with its brackets.</param>
[JsonConverter(typeof(TokenNumbersConverter))]
internal readonly record struct TokenNumbers(ReadOnlyMemory<byte> Json)
{
    private const int Block = 1024;

    /// <summary>The numbers, with commas between.</summary>
    public ReadOnlySpan<byte> Items => Json.Span[1..^1];

    /// <summary>The edits, none or one, that make these numbers of earlier ones.</summary>
    public SemanticTokensEdit[] EditsFrom(TokenNumbers before)
    {
        var old = before.Items;
        var now = Items;
        var head = HeadAlike(old, now);
        var start = Count(old[..head]);
        old = old[head..];
        now = now[head..];
        if (old.IsEmpty && now.IsEmpty) return [];
        var tail = TailAlike(old, now);
        old = old[..^tail];
        now = now[..^tail];
        var inserted = now.Trim((byte)',');
        return [new SemanticTokensEdit(start, Count(old), new TokenNumbers((byte[])[(byte)'[', .. inserted, (byte)']']))];
    }

    /// <summary>How many bytes of whole numbers two lists begin with alike, the comma behind the last left out.</summary>
    private static int HeadAlike(ReadOnlySpan<byte> one, ReadOnlySpan<byte> other)
    {
        var alike = one.CommonPrefixLength(other);
        return EndsAt(one, alike) && EndsAt(other, alike) ? alike : Math.Max(0, one[..alike].LastIndexOf((byte)','));

        static bool EndsAt(ReadOnlySpan<byte> list, int at) => at == list.Length || list[at] == ',';
    }

    /// <summary>How many bytes of whole numbers two lists end with alike, the comma ahead of the first left out.</summary>
    private static int TailAlike(ReadOnlySpan<byte> one, ReadOnlySpan<byte> other)
    {
        var alike = 0;
        // Block by block, then sign by sign in the block that differs.
        while (alike + Block <= Math.Min(one.Length, other.Length) && one[^(alike + Block)..^alike].SequenceEqual(other[^(alike + Block)..^alike])) alike += Block;
        while (alike < Math.Min(one.Length, other.Length) && one[^(alike + 1)] == other[^(alike + 1)]) alike++;
        if (BeginsAt(one, alike) && BeginsAt(other, alike)) return alike;
        return one[^alike..].IndexOf((byte)',') is >= 0 and var comma ? alike - comma - 1 : 0;

        static bool BeginsAt(ReadOnlySpan<byte> list, int length) => length == list.Length || list[^(length + 1)] == ',';
    }

    /// <summary>How many numbers a list has, which may have a comma left over at either end.</summary>
    private static int Count(ReadOnlySpan<byte> list) => list.Trim((byte)',') is { IsEmpty: false } numbers ? numbers.Count((byte)',') + 1 : 0;
}
