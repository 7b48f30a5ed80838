using System.Text.Json;
using System.Text.Json.Serialization;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Transport;

/// <summary>Writes serialized tokens as they are. Reading is never needed, since clients send none.</summary>
internal sealed class TokenNumbersConverter : JsonConverter<TokenNumbers>
{
    private const int AtATime = 1 << 14;

    public override TokenNumbers Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => throw new NotSupportedException();

    /// <remarks>Written in chunks, so that they never need one large buffer. The writer treats each chunk of comma-separated numbers as one
    /// value, and adds the comma between chunks.</remarks>
    public override void Write(Utf8JsonWriter writer, TokenNumbers value, JsonSerializerOptions options)
    {
        writer.WriteStartArray();
        for (var rest = value.Items; !rest.IsEmpty;)
        {
            var length = rest.Length <= AtATime ? rest.Length : rest[..AtATime].LastIndexOf((byte)',');
            writer.WriteRawValue(rest[..length], skipInputValidation: true);
            rest = rest[Math.Min(rest.Length, length + 1)..];
        }
        writer.WriteEndArray();
    }
}
