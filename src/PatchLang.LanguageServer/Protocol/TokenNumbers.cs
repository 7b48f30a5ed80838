using System.Text.Json.Serialization;
using PatchLang.LanguageServer.Transport;

namespace PatchLang.LanguageServer.Protocol;

/// <summary>
/// Semantic tokens in serialized form: a JSON array of whole numbers, in UTF-8, without white space. A large file has hundreds
/// of thousands of numbers, so they are serialized once, stored like that for the next comparison, and sent as they are.
/// </summary>
/// <param name="Json">The array, including its brackets.</param>
[JsonConverter(typeof(TokenNumbersConverter))]
internal readonly record struct TokenNumbers(ReadOnlyMemory<byte> Json)
{
    private const int Block = 1024;

    /// <summary>The numbers, separated by commas.</summary>
    public ReadOnlySpan<byte> Items => Json.Span[1..^1];

    /// <summary>The edits (none or one) that turn earlier numbers into these.</summary>
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

    /// <summary>The length in bytes of the whole numbers that two lists have in common at the start, without the comma after the last.</summary>
    private static int HeadAlike(ReadOnlySpan<byte> one, ReadOnlySpan<byte> other)
    {
        var alike = one.CommonPrefixLength(other);
        return EndsAt(one, alike) && EndsAt(other, alike) ? alike : Math.Max(0, one[..alike].LastIndexOf((byte)','));

        static bool EndsAt(ReadOnlySpan<byte> list, int at) => at == list.Length || list[at] == ',';
    }

    /// <summary>The length in bytes of the whole numbers that two lists have in common at the end, without the comma before the first.</summary>
    private static int TailAlike(ReadOnlySpan<byte> one, ReadOnlySpan<byte> other)
    {
        var alike = 0;
        // Compare by blocks, then byte by byte in the block that differs.
        while (alike + Block <= Math.Min(one.Length, other.Length) && one[^(alike + Block)..^alike].SequenceEqual(other[^(alike + Block)..^alike])) alike += Block;
        while (alike < Math.Min(one.Length, other.Length) && one[^(alike + 1)] == other[^(alike + 1)]) alike++;
        if (BeginsAt(one, alike) && BeginsAt(other, alike)) return alike;
        return one[^alike..].IndexOf((byte)',') is >= 0 and var comma ? alike - comma - 1 : 0;

        static bool BeginsAt(ReadOnlySpan<byte> list, int length) => length == list.Length || list[^(length + 1)] == ',';
    }

    /// <summary>The count of numbers in a list, which may have a leading or trailing comma.</summary>
    private static int Count(ReadOnlySpan<byte> list) => list.Trim((byte)',') is { IsEmpty: false } numbers ? numbers.Count((byte)',') + 1 : 0;
}
