using System.Text.Json;
using System.Text.Json.Serialization;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Transport;

/// <summary>Sends the numbers of tokens as they are. They are never read: a client has none to send.</summary>
internal sealed class TokenNumbersConverter : JsonConverter<TokenNumbers>
{
    private const int AtATime = 1 << 14;

    public override TokenNumbers Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => throw new NotSupportedException();

    /// <remarks>Some at a time, so that nobody has to find room for all of them in one piece. Numbers with commas between are one value to the writer, which puts a comma between two values.</remarks>
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
