using System.Buffers;
using System.Globalization;
using System.Text;

namespace PatchLang.LanguageServer.Transport;

/// <summary>
/// A message on its way out: its header, and its JSON in pieces. What a large file answers has millions of bytes; in pieces they are
/// never moved to a larger place, and never lie there twice.
/// </summary>
internal sealed class MessageBytes : IBufferWriter<byte>
{
    private const int PieceLength = 1 << 16;
    private const int HeaderRoom = 64;

    /// <summary>So many pieces serve the next message too: an answer that is not about a whole large file needs no more.</summary>
    private const int MostKept = 8;

    private readonly List<byte[]> pieces = [];
    private readonly List<int> lengths = [];
    private readonly List<byte[]> spare = [];
    private long length;

    /// <summary>Begins a message: what was written before is forgotten.</summary>
    public void Clear()
    {
        foreach (var piece in pieces)
            if (piece.Length == PieceLength && spare.Count < MostKept) spare.Add(piece);
        pieces.Clear();
        lengths.Clear();
        length = 0;
        AddPiece(PieceLength);
        // Ahead of the JSON there is room for the header, which tells how long it is, so that a short message leaves in one piece.
        lengths[0] = HeaderRoom;
    }

    /// <inheritdoc/>
    public void Advance(int count)
    {
        lengths[^1] += count;
        length += count;
    }

    /// <inheritdoc/>
    public Memory<byte> GetMemory(int sizeHint = 0)
    {
        if (pieces[^1].Length - lengths[^1] < Math.Max(1, sizeHint)) AddPiece(Math.Max(PieceLength, sizeHint));
        return pieces[^1].AsMemory(lengths[^1]);
    }

    /// <inheritdoc/>
    public Span<byte> GetSpan(int sizeHint = 0) => GetMemory(sizeHint).Span;

    /// <summary>The message with its header, piece by piece.</summary>
    public IEnumerable<ReadOnlyMemory<byte>> Finished()
    {
        var header = Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"Content-Length: {length}\r\n\r\n"));
        header.CopyTo(pieces[0], HeaderRoom - header.Length);
        for (var i = 0; i < pieces.Count; i++)
            yield return i == 0 ? pieces[0].AsMemory((HeaderRoom - header.Length)..lengths[0]) : pieces[i].AsMemory(0, lengths[i]);
    }

    private void AddPiece(int size)
    {
        if (size == PieceLength && spare.Count > 0)
        {
            pieces.Add(spare[^1]);
            spare.RemoveAt(spare.Count - 1);
        }
        else
        {
            pieces.Add(GC.AllocateUninitializedArray<byte>(size));
        }
        lengths.Add(0);
    }
}
